/** Checks a board file: its shape, and that everything it names exists. Every problem says where it is and what to do. */
import { type BoardType, boardType, isProbed, type MeasureStep, type ProbedStep, type Step, type WalkStep, type WatchStep } from './board-type'
import { limitsMisfit } from '../metrology/interval'
import { computedLimits, fileAllowsNoLimits } from '../circuit/computed-limits'
import { notIn, partsOf } from './check-parts'
import { statesOf } from './check-states'
import { withMarkedLimits } from './marked-limits'
import { type FieldProblem, shapeProblems } from './shape-problems'

export type BoardProblem = { file: string; field: string; message: string }
export type BoardCheck = { board: BoardType } | { problems: BoardProblem[] }

const listed = (values: readonly unknown[]): string => values.map((value) => JSON.stringify(value)).join(', ')

const twice = (ids: readonly string[]): [string, number][] =>
  ids.flatMap((id, at): [string, number][] => (ids.indexOf(id) !== at ? [[id, at]] : []))

const idsOf = (board: BoardType): FieldProblem[] => {
  const own = (list: string, key: string, ids: readonly string[], each: string): FieldProblem[] =>
    twice(ids).map(([id, at]) => ({ field: `${list}[${at}]${key}`, message: `"${id}" is used twice; give each ${each} its own` }))
  return [
    ...own('pictures', '.id', board.pictures.map(({ id }) => id), 'picture'),
    ...own('nets', '', board.nets, 'net'),
    ...own('testPoints', '.id', board.testPoints.map(({ id }) => id), 'test point'),
    ...own('parts', '.ref', board.parts.map(({ ref }) => ref), 'part'),
    ...own('energyStores', '.id', board.energyStores.map(({ id }) => id), 'store'),
    ...own('sequence.steps', '.id', board.sequence.steps.map(({ id }) => id), 'step'),
  ]
}

/** A place must lie on a picture of the board. */
const placeOf = (board: BoardType, place: { picture: string; x: number; y: number }, field: (key: string) => string): FieldProblem[] => {
  const picture = board.pictures.find(({ id }) => id === place.picture)
  if (!picture) {
    const pictures = listed(board.pictures.map(({ id }) => id))
    return [{ field: field('picture'), message: `"${place.picture}" is not the id of a picture; the pictures are ${pictures}` }]
  }
  const outside = (key: 'x' | 'y', size: number, word: string): FieldProblem[] =>
    (place[key] >= 0 && place[key] <= size ? []
      : [{ field: field(key), message: `${place[key]} lies outside the picture, which is ${size} ${word}` }])
  return [...outside('x', picture.width, 'wide'), ...outside('y', picture.height, 'high')]
}

const testPointsOf = (board: BoardType): FieldProblem[] => board.testPoints.flatMap((point, at) => {
  const field = (key: string): string => `testPoints[${at}].${key}`
  return [...notIn(board.nets, field('net'), point.net), ...placeOf(board, point, field)]
})

const partPlacesOf = (board: BoardType): FieldProblem[] => board.parts.flatMap(({ ref, place }, at) => (place === undefined ? []
  : placeOf(board, place, (key) => `parts[${at}].place.${key}`).map(({ field, message }) => ({ field, message: `${message}; correct the place of ${ref}, or leave it out` }))))

const tellOf = (board: BoardType): FieldProblem[] => (board.tell === undefined ? [] : placeOf(board, board.tell, (key) => `tell.${key}`))

const missingPoint = (board: BoardType, field: string, id: string): FieldProblem[] =>
  board.testPoints.some((point) => point.id === id) ? [] : [{ field,
    message: `"${id}" is not a test point; add it to testPoints or correct the name` }]

const storesOf = (board: BoardType): FieldProblem[] => board.energyStores.flatMap((store, at) => [
  ...missingPoint(board, `energyStores[${at}].red`, store.red),
  ...missingPoint(board, `energyStores[${at}].black`, store.black),
  ...(store.red === store.black ? [{ field: `energyStores[${at}].black`,
    message: 'is the same test point as red; name the other end of the store' }] : []),
])

/** Of ids that core makes: `prepare/…` and so on. */
const reservedPrefixes: readonly string[] = ['prepare', 'check', 'fit']

const functionsOnDead: readonly string[] = ['resistance', 'continuity', 'diode', 'capacitance', 'inductance']
const functionsOnLive: readonly string[] = ['dc-voltage', 'ac-voltage', 'dc-current', 'ac-current', 'frequency']

const poweredMisfit = ({ powered, function: what }: Pick<ProbedStep, 'powered' | 'function'>): string | null => {
  if (powered === true && functionsOnDead.includes(what)) return `${what} is never measured on a supplied board; remove "powered" or choose another function`
  return powered !== true && functionsOnLive.includes(what) ? `${what} means something only on a supplied board; add "powered": true (the preparation measures residual volts)` : null
}

const placedOf = (board: BoardType, step: MeasureStep | WatchStep, field: (key: string) => string): FieldProblem[] => {
  const misfit = poweredMisfit(step)
  return [
    ...missingPoint(board, field('red'), step.red), ...missingPoint(board, field('black'), step.black),
    ...(step.red === step.black ? [{ field: field('black'), message: 'is the same test point as red; a placement needs two' }] : []),
    ...(misfit === null ? [] : [{ field: field('powered'), message: misfit }]),
  ]
}

/** On a live board that injures, both hands are at it for as long as a walk or a watch lasts: the file says how it is done safely. */
const uncautioned = ({ hazard }: BoardType, step: WalkStep | WatchStep, field: (key: string) => string): FieldProblem[] =>
  (hazard === 'hazardous' && step.powered === true && (step.caution ?? '').trim() === '' ? [{ field: field('caution'), message: `is missing, and this ${step.kind} is made on a supplied board that can injure; write what to keep away from, and how the leads are held or clipped` }] : [])

const watchOf = (board: BoardType, step: WatchStep, field: (key: string) => string): FieldProblem[] => {
  const misfit = step.limits === undefined || step.limits === 'open' ? null : limitsMisfit(step.limits, step.function)
  return [
    ...placedOf(board, step, field), ...uncautioned(board, step, field),
    ...(step.limits === 'open' ? [{ field: field('limits'), message: '"open" has nothing to follow; choose a placement that conducts, or measure it' }] : []),
    ...(misfit === null ? [] : [{ field: field('limits'), message: misfit }]),
  ]
}

const walkOf = (board: BoardType, step: WalkStep, field: (key: string) => string): FieldProblem[] => {
  const misfit = poweredMisfit(step)
  const points = step.points ?? []
  return [
    ...missingPoint(board, field('black'), step.black), ...(misfit === null ? [] : [{ field: field('powered'), message: misfit }]), ...uncautioned(board, step, field),
    // Its points bear ids behind its own, and those of the preparation begin so.
    ...(reservedPrefixes.includes(step.id) ? [{ field: field('id'), message: `"${step.id}" is taken by the app's own steps; give the walk another id` }] : []),
    ...points.flatMap((point, which) => (typeof point === 'string' ? [
      ...missingPoint(board, field(`points[${which}]`), point),
      ...(point === step.black ? [{ field: field(`points[${which}]`), message: 'is where the black lead stays; name another point' }] : []),
      ...(points.indexOf(point) < which ? [{ field: field(`points[${which}]`), message: `"${point}" is walked twice; name it once` }] : []),
    ] : placeOf(board, point, (key) => field(`points[${which}].${key}`)))),
  ]
}

const measureOf = (board: BoardType, step: MeasureStep, at: number): FieldProblem[] => {
  const field = (key: string): string => `sequence.steps[${at}].${key}`
  const found = placedOf(board, step, field)
  const add = (key: string, message: string): void => { found.push({ field: field(key), message }) }
  const { function: what, limits } = step
  const noLimits = limits === undefined && step.goodBoards !== true ? fileAllowsNoLimits(board, step) : null
  if (noLimits !== null && found.length === 0) add('limits', `is missing, and none can be computed: ${noLimits}; write limits, or "goodBoards": true`)
  if (step.goodBoards === true && limits !== undefined) add('goodBoards', 'judge only where no limits are written; remove it, or the limits')
  if ((limits === 'short' || limits === 'open') && !['resistance', 'continuity', 'diode'].includes(what)) {
    add('limits', `"${limits}" has no meaning in ${what}; write figures`)
  }
  if (step.source !== undefined && limits === undefined) add('source', 'belongs to limits that are written; without any they are computed for each meter: remove it, or write limits')
  if (step.source !== undefined && !['resistance', 'continuity', 'diode'].includes(what)) add('source', `has no meaning in ${what}, where the meter drives no direct current; remove it`)
  if (limits === 'open' && step.addedUncertainty !== undefined) {
    add('addedUncertainty', 'has no meaning with "open" limits, which are not judged by a figure; remove it or write figures as limits')
  }
  const before = board.sequence.steps[at - 1]
  if (step.keepsContact === true && (before === undefined || before.kind === 'look' || before.kind === 'watch' || before.kind === 'walk' || (before.kind === 'measure' && before.function === what))) add('keepsContact',
    'needs just before it a measure step of another function, or a do step that changes something while the leads stay')
  return found
}

const addedOf = (board: BoardType): FieldProblem[] => (board.addedUncertainty ?? []).flatMap(({ function: what }, at) => (
  board.sequence.steps.some((step) => isProbed(step) && step.function === what) ? []
    : [{ field: `addedUncertainty[${at}].function`, message: `no step measures ${what}; remove this entry or correct its function` }]))

const branchesOf = (step: Step, at: number, ids: readonly string[]): FieldProblem[] => step.then.flatMap((branch, which) => {
  const field = (key: string): string => `sequence.steps[${at}].then[${which}].${key}`
  const goes = 'goTo' in branch ? ids.indexOf(branch.goTo) : Infinity
  const wrong = goes < 0 ? 'is not a step of this sequence' : goes <= at ? 'is not after this step; a branch only goes forward' : null
  return [
    ...('goTo' in branch && wrong !== null ? [{ field: field('goTo'), message: `"${branch.goTo}" ${wrong}` }] : []),
    ...(step.kind !== 'measure' && step.kind !== 'walk' && typeof branch.when === 'object'
      ? [{ field: field('when'), message: `a ${step.kind} step has no value to compare; use a verdict` }] : []),
  ]
})

const stepsOf = (board: BoardType): FieldProblem[] => {
  const ids = board.sequence.steps.map(({ id }) => id)
  return board.sequence.steps.flatMap((step, at) => [
    ...step.parts.flatMap((ref, which) => (board.parts.some((part) => part.ref === ref) ? []
      : [{ field: `sequence.steps[${at}].parts[${which}]`,
        message: `"${ref}" is not a part of this board; add it to parts or correct the name` }])),
    ...branchesOf(step, at, ids),
    ...(step.kind === 'measure' ? measureOf(board, step, at) : []),
    ...(step.kind === 'watch' ? watchOf(board, step, (key) => `sequence.steps[${at}].${key}`) : []),
    ...(step.kind === 'walk' ? walkOf(board, step, (key) => `sequence.steps[${at}].${key}`) : []),
  ])
}

/** The steps that prove a repaired board are steps like the others; what is wrong with one is named at its own place in the file. */
const proveOf = (board: BoardType): FieldProblem[] => {
  const { prove } = board
  if (prove === undefined) return []
  const parts: [field: string, steps: Step[]][] = [['prove.unpowered', prove.unpowered], ['prove.powerUp.steps', prove.powerUp?.steps ?? []]]
  const all = parts.flatMap(([field, steps]) => steps.map((step, at) => ({ step, place: `${field}[${at}]` })))
  const whole = { ...board, sequence: { ...board.sequence, steps: all.map(({ step }) => step) } }
  const ids = [...board.sequence.steps.map(({ id }) => id), ...all.map(({ step }) => step.id), ...(prove.powerUp?.checks ?? []).map(({ id }) => id)]
  const twice = [...new Set(ids.filter((id, at) => ids.indexOf(id) !== at))]
  return [
    ...[...stepsOf(whole), ...statesOf(whole)].map(({ field, message }) => ({ field: field.replace(/^sequence\.steps\[(\d+)\]/, (_all, at: string) => all[Number(at)]?.place ?? field), message })),
    ...prove.unpowered.flatMap((step, at) => (isProbed(step) && step.powered === true ? [{ field: `prove.unpowered[${at}].powered`, message: 'stands before the power-up; move it to powerUp.steps' }] : [])),
    ...(prove.powerUp?.steps ?? []).flatMap((step, at) => (isProbed(step) && functionsOnDead.includes(step.function) ? [{ field: `prove.powerUp.steps[${at}].function`, message: `is ${step.function}, which is never measured on a supplied board; move it to unpowered` }] : [])),
    ...(prove.unpowered.some((step) => step.kind === 'measure' && step.function === 'resistance') ? [] : [{ field: 'prove.unpowered', message: 'measures no resistance; measure that of the supply before any power is put on' }]),
    // The first board to be proven would teach it: nothing would be judged before power is put on.
    ...all.flatMap(({ step, place }) => (step.kind === 'walk' ? [{ field: `${place}.kind`, message: 'is "walk", which judges nothing until a good board is known; a proof measures its points one by one: write measure steps' }] : [])),
    ...twice.map((id) => ({ field: 'prove', message: `"${id}" is the id of two steps; give one another` })),
  ]
}

/** Boards drawn to see whether good ones leave anything to judge by; a run draws more. */
const draws = 30

/** Steps without limits of which the nets say nothing that a reading could be judged by. */
const uncomputedOf = (board: BoardType): FieldProblem[] => Object.entries(computedLimits(board, { draws })).flatMap(([id, own]) => ('limits' in own || board.sequence.steps.some((step) => step.id === id && step.kind === 'measure' && (step.limits !== undefined || step.goodBoards === true)) ? []
  : [{ field: `sequence.steps[${board.sequence.steps.findIndex((step) => step.id === id)}].limits`,
    message: `is missing, and none can be computed: ${own.refused.charAt(0).toLowerCase()}${own.refused.slice(1, -1)}; write limits or "goodBoards": true, or choose other test points` }]))

/** From here on a capacitor is a store that has to be proven empty (common practice, no source). */
const storesFarads = 4.7e-6

/** The board type in `json`, or all that is wrong with it. Never throws. */
export const checkBoard = (json: unknown, file: string): BoardCheck => {
  const named = (found: FieldProblem[]): BoardProblem[] => found.map((one) => ({ file, ...one }))
  const read = withMarkedLimits(json)
  const parsed = boardType.safeParse(read.json)
  if (!parsed.success) return { problems: named([...read.problems, ...shapeProblems(parsed.error, read.json)]) }
  const board = parsed.data
  const netOf = (point: string): string | undefined => board.testPoints.find(({ id }) => id === point)?.net
  const covered = board.energyStores.map((store) => [netOf(store.red), netOf(store.black)].sort().join(' '))
  const allPlaced = board.energyStores.every((store) => netOf(store.red) !== undefined && netOf(store.black) !== undefined)
  const unlisted: FieldProblem[] = board.parts.flatMap((part, at) => {
    const holds = allPlaced && part.kind === 'capacitor' && (part.value ?? 0) >= storesFarads && !covered.includes(Object.values(part.pins).sort().join(' '))
    return holds ? [{ field: `parts[${at}]`, message: `${part.ref} can hold a charge (${storesFarads * 1e6} µF or more), and no energy store lies across it; add one to energyStores` }] : []
  })
  const mains: FieldProblem[] = board.mainsReferenced && board.hazard === 'extra-low'
    ? [{ field: 'hazard', message: 'is "extra-low" on a board referenced to mains; write "hazardous"' }] : []
  const unproven: FieldProblem[] = board.hazard === 'hazardous' && board.energyStores.length === 0
    ? [{ field: 'energyStores', message: 'is empty on a hazardous board: nothing could prove it de-energised; list every capacitor and rail that can hold a voltage' }] : []
  const found = [...read.problems, ...unproven, ...mains, ...unlisted, ...idsOf(board), ...tellOf(board), ...testPointsOf(board), ...partsOf(board), ...partPlacesOf(board), ...storesOf(board), ...addedOf(board), ...stepsOf(board), ...statesOf(board), ...proveOf(board)]
  const left = found.length > 0 ? [] : uncomputedOf(board)
  return found.length + left.length > 0 ? { problems: named([...found, ...left]) } : { board }
}
