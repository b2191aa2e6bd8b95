/** Puts a diagnosis into words and places, for the screens. */
import type { BoardType, MeasureStep, TestPoint } from '../board/board-type'
import { isLeg } from '../board/lifted-leg'
import { stepsOfParts } from '../board/part-state'
import { partSpots } from '../board/part-spots'
import { sureFrom } from '../circuit/diagnose'
import type { Action, Diagnosis, FaultClass, Next, PartReport, Placement } from '../circuit/diagnosis'
import { readsAcross } from '../circuit/expected-reading'
import { groupInWords, joined, likelierInWords, setInWords } from '../circuit/diagnose/set-in-words'
import { allowedFaults, type Fault, faultInWords, refOf, sameWithinSpread } from '../circuit/faults'
import { drivesOfReadings } from '../circuit/meter-drive'
import { networkOf } from '../circuit/network'
import type { ReadingsFile } from '../circuit/readings-file'
import { unitOf } from '../meter/reading'
import { inWords } from '../quantity/engineering'
import type { DiagnosisView, PartReportView } from './diagnosis-view'
import { placeOnScale } from './scale'
import { dialWords, placeWords } from './words'

/** Shares of one as they are said: "93 %", "over 99 %". */
export const chanceInWords = (share: number): string => (share >= 0.995 ? 'over 99 %' : share < 0.005 ? 'under 1 %' : `${Math.round(share * 100)} %`)

const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`
/** "the anode of D1", "pin 1 of R4". */
const legInWords = (ref: string, pin: string): string => (/^[a-z]+$/.test(pin) ? `the ${pin} of ${ref}` : `pin ${pin} of ${ref}`)

const actionInWords = (board: BoardType, action: Action, step: MeasureStep | null): string => {
  switch (action.kind) {
    case 'lift': {
      const words = `lift ${legInWords(action.ref, action.pin)} and measure ${action.ref} alone`
      // Off the board nothing empties it any more.
      return board.parts.some(({ ref, kind }) => ref === action.ref && kind === 'capacitor') ? `discharge ${action.ref} through a resistor, check that it is empty, then ${words}: its capacitance, and its resistance for a leak` : words
    }
    case 'replace': return `replace ${action.ref}`
    case 'measure': {
      const { red, black, function: what } = action.placement
      return step === null ? `red on ${placeWords(board, red)}, black on ${placeWords(board, black)}, dial at ${dialWords[what]}` : step.title
    }
  }
}

/** What is stressed along with a part lies straight across it. */
const faultyAcross = (board: BoardType, own: string, parts: readonly PartReport[]): string[] => {
  const netsOf = (ref: string): string[] => Object.values(board.parts.find((part) => part.ref === ref)?.pins ?? {})
  const nets = new Set(netsOf(own))
  return parts.flatMap(({ ref, report }) => (ref !== own && report === 'faulty' && new Set(netsOf(ref).filter((net) => nets.has(net))).size > 1 ? [ref] : []))
}

const unmaskInWords = (own: string, unmask: Action | null, across: readonly string[]): string => {
  switch (unmask?.kind) {
    case 'lift': return `To tell, lift ${legInWords(unmask.ref, unmask.pin)} and measure ${own} alone.`
    case 'replace': return unmask.ref !== own ? `Repair ${unmask.ref} first, then measure again.`
      : `It cannot be told in circuit.${across.length === 0 ? '' : ` ${joined(across)} across it ${across.length === 1 ? 'is' : 'are'} faulty: replace ${own} as a precaution.`}`
    case 'measure':
    case undefined: return 'No reading here tells.'
  }
}

const saysOf = (board: BoardType, { ref, report, kinds, maskedBy, unmask }: PartReport, parts: readonly PartReport[]): string => {
  switch (report) {
    case 'good': return ''
    case 'faulty': return kinds.slice(0, 2).map(({ fault }, at) => (at === 0 ? sentence(faultInWords(fault)) : `Or ${faultInWords(fault)}.`)).slice(0, (kinds[1]?.probability ?? 0) > 0.1 ? 2 : 1).join(' ')
    case 'masked': return `${maskedBy.length === 0 ? 'No reading in circuit shows its state.' : `Hidden by ${joined(maskedBy)}.`} ${unmaskInWords(ref, unmask, faultyAcross(board, ref, parts))}`
    case 'unprobed': return 'No reading tells enough of it yet.'
  }
}

/** A part of which no reading is computed has no report; the notes name it. */
const hasReport = (board: BoardType, ref: string): boolean => board.parts.some((part) => part.ref === ref && allowedFaults(part.kind).length > 0)

const order = ['faulty', 'masked', 'unprobed', 'good'] as const

const partsOf = (board: BoardType, parts: readonly PartReport[]): PartReportView[] => {
  const spots = new Map(partSpots(board).map(({ ref, x, y }) => [ref, { x, y }]))
  return order.flatMap((which) => parts.filter(({ ref, report }) => report === which && hasReport(board, ref)).sort((a, b) => b.probability - a.probability))
    .map((part) => ({ ref: part.ref, report: part.report, chance: chanceInWords(part.probability), says: saysOf(board, part, parts), spot: spots.get(part.ref) ?? null }))
}

const mostLikely = 4
const leastLikely = 0.02

/** Whether both sets are told as one: in the same words, or with figures that differ by less than is known of them. */
const toldAlike = (a: readonly Fault[], b: readonly Fault[]): boolean =>
  setInWords(a) === setInWords(b) || (a.length === b.length && a.every((one) => b.some((other) => sameWithinSpread(one, other))))

/** `sets`: those that read the same, the likeliest first. */
type Likely = { sets: readonly (readonly Fault[])[]; members: readonly string[]; probability: number }

/** One line for sets that read the same and for those told alike as one of them, such as with and without a leak that is nobody's fault. */
const mergedLines = (classes: readonly FaultClass[]): Likely[] => classes.reduce<Likely[]>((lines, { sets: [set, ...others], probability }) => {
  if (set === undefined) return lines
  // Sets with more faults than the likeliest hide beside it: the part's own report says so.
  const sets = [set, ...others.filter((one) => one.length <= set.length)]
  const meets = (line: Likely): boolean => line.sets.some((one) => sets.some((other) => toldAlike(one, other)))
  const met = lines.filter(meets).sort((a, b) => b.probability - a.probability)
  const all = [...met.flatMap((line) => line.sets), ...sets]
  const once = all.filter((one, at) => all.findIndex((other) => toldAlike(other, one)) === at)
  const line = { sets: once, members: once.map(setInWords), probability: met.reduce((sum, one) => sum + one.probability, probability) }
  return [...lines.filter((one) => !meets(one)), line]
}, [])

/** `open`: several read the same, and the parts of none of them are called faulty. */
type Line = { sets: readonly (readonly Fault[])[]; probability: number; open: boolean; shown: DiagnosisView['likely'][number] }

const likelyOf = ({ classes, parts }: Pick<Diagnosis, 'classes' | 'parts'>): Line[] => {
  const faulty = new Set(parts.flatMap(({ ref, report }) => (report === 'faulty' ? [ref] : [])))
  const isCalled = (set: readonly Fault[]): boolean => set.length > 0 && set.every((fault) => faulty.has(refOf(fault) ?? ''))
  return mergedLines(classes).sort((a, b) => b.probability - a.probability).slice(0, mostLikely).filter(({ probability }, at) => at === 0 || probability >= leastLikely)
    .map(({ sets, members, probability }, at): Line => {
      const [first, ...others] = sets
      const isFirst = first !== undefined && isCalled(first) && others.length > 0 && !others.some(isCalled)
      const shown = { number: at + 1, words: isFirst ? likelierInWords(sets) : groupInWords(sets), chance: chanceInWords(probability), alike: members.length < 2 ? [] : [...members] }
      return { sets, probability, open: others.length > 0 && !isFirst, shown }
    })
}

/** Nothing more is proposed to be measured from here on (circuit.md); the technician may go on all the same. */
const enoughOf = ({ classes, next }: Diagnosis, likely: readonly Line[], readings: number): string | null => {
  const [first] = likely
  if (first === undefined || readings === 0 || !classes.some(({ probability }) => probability >= sureFrom)) return null
  const { words, chance } = first.shown
  if (!first.open) return `Sure enough: ${words}, ${chance}. Measuring more in circuit would hardly change that.`
  const which = liftsWithin(next, first).length > 0 ? 'Lifting a leg tells which; measuring more in circuit hardly would.' : 'Measuring more in circuit would hardly tell more.'
  return `Sure enough of the group (${chance}): ${words}. ${which}`
}

const liftsWithin = (next: readonly Next[], { sets }: Line): Next[] => {
  const refs = new Set(sets.flatMap((set) => set.map(refOf)))
  return next.filter(({ action }) => action.kind === 'lift' && refs.has(action.ref))
}

const beyondWhole = (shares: readonly number[]): boolean => shares.reduce((sum, share) => sum + share, 0) >= 1.005

/** Shares of what may be there together, with why they come to more than all: a likely set may hide one more fault, and each of the parts that read the same may be faulty beside another. */
const sharesNotes = (parts: readonly PartReport[], likely: readonly Line[]): string[] => {
  const [first] = likely
  const refs = new Set(first?.open !== true ? [] : first.sets.flatMap((set) => set.map(refOf)))
  const among = parts.filter(({ ref }) => refs.has(ref))
  return [
    ...(beyondWhole(likely.map(({ probability }) => probability)) ? ['The likely faults come to more than 100 %, because more than one of them may be there at once.'] : []),
    ...(among.length > 1 && beyondWhole(among.map(({ probability }) => probability))
      ? [`${joined(among.map(({ ref, probability }) => `${ref} ${chanceInWords(probability)}`))} come to more than 100 %, because more than one of them may be faulty.`] : []),
  ]
}

/** Of the parts that read the same, the one with the fewest legs is lifted first: that takes the least work. */
const easiestFirst = (board: BoardType, next: readonly Next[], first: Line | undefined): Next[] => {
  const within = first?.open !== true ? [] : liftsWithin(next, first)
  const legs = ({ action }: Next): number => Object.keys(board.parts.find(({ ref }) => action.kind === 'lift' && ref === action.ref)?.pins ?? {}).length
  const inTurn = [...within].sort((a, b) => legs(a) - legs(b))
  return next.map((one) => { const at = within.indexOf(one); return inTurn[at] ?? one })
}

const netOf = (points: readonly TestPoint[], id: string): string | null => points.find((point) => point.id === id)?.net ?? null

/** How a step's placement is named in a diagnosis: continuity reads as resistance does. */
export const placementOf = ({ red, black, function: what }: Pick<MeasureStep, 'red' | 'black' | 'function'>): Placement =>
  ({ red, black, function: what === 'continuity' ? 'resistance' : what })

const sameNets = (board: BoardType, one: Placement, other: Placement): boolean => {
  const [a, b, c, d] = [one.red, one.black, other.red, other.black].map((id) => netOf(board.testPoints, id))
  return one.function === other.function && ((a === c && b === d) || (one.function !== 'diode' && a === d && b === c))
}

/** Marks closer than this share of the scale are drawn as one. */
const oneMarkWithin = 0.025

type Mark = { at: number; who: string[]; words: string[] }

const expectedOf = (board: BoardType, sets: { number: string; set: readonly Fault[] }[], { sources, state }: Pick<ReadingsFile, 'sources' | 'state'>): DiagnosisView['expected'] => {
  const drives = drivesOfReadings(sources)
  const networks = sets.map(({ number, set }) => ({ number, network: networkOf(board, set, state.length === 0 ? {} : { state }) }))
  return stepsOfParts(board, state).flatMap((step) => {
    const [red, black] = [netOf(board.testPoints, step.red), netOf(board.testPoints, step.black)]
    if (red === null || black === null) return []
    const marks: Mark[] = []
    for (const { number, network } of networks) {
      const reading = readsAcross(network, red, black, step.function, drives)
      const at = reading.ok && step.limits !== undefined ? placeOnScale(reading.value, step.limits, step.function) : null
      if (!reading.ok || at === null) continue
      const words = reading.value === 'overload' ? 'open' : inWords(Number(reading.value.toPrecision(3)), unitOf[step.function], null)
      const near = marks.find((mark) => Math.abs(mark.at - at) < oneMarkWithin)
      if (near === undefined) marks.push({ at, who: [number], words: [words] })
      else { near.who.push(number); if (!near.words.includes(words)) near.words.push(words) }
    }
    return marks.length === 0 ? [] : [{ step: step.id, marks: marks.sort((a, b) => a.at - b.at).map(({ at, who, words }) => ({ at, who: who.join(', '), words: words.join(', ') })) }]
  })
}

export type Diagnosed = { run: string; after: number; readings: ReadingsFile; /** Ids of the steps that may be taken next. */ open: readonly string[] }

/** The step among those that may be taken next that is this action; null: none is. */
export const stepOf = (board: BoardType, action: Action, { readings, open }: Pick<Diagnosed, 'readings' | 'open'>): MeasureStep | null =>
  (action.kind === 'measure' ? stepsOfParts(board, readings.state).find((one) => open.includes(one.id) && sameNets(board, placementOf(one), action.placement)) ?? null : null)

/** Pure; costs one solution a step and likely fault. */
export const viewOfDiagnosis = (board: BoardType, diagnosis: Diagnosis, { run, after, readings, open }: Diagnosed): DiagnosisView => {
  const likely = likelyOf(diagnosis)
  const faulty = likely.flatMap(({ sets: [set = []], shown: { number } }) => (set.length > 0 ? [{ number: `${number}`, set }] : []))
  const none = likely.find(({ sets: [set] }) => set?.length === 0)
  return {
    run, after, readings: readings.readings.length, problem: null, parts: partsOf(board, diagnosis.parts), likely: likely.map(({ shown }) => shown), notes: [...diagnosis.notes, ...sharesNotes(diagnosis.parts, likely)],
    ...(none === undefined ? {} : { noPart: none.shown.chance }), enough: enoughOf(diagnosis, likely, readings.readings.length),
    next: easiestFirst(board, diagnosis.next, likely[0]).map(({ action, why }) => {
      const step = stepOf(board, action, { readings, open })
      const alone = step === null && action.kind === 'measure' && (isLeg(action.placement.red) || isLeg(action.placement.black))
      return { words: actionInWords(board, action, step), why, step: step?.id ?? null, action: action.kind, ...(alone ? { alone: action.placement } : {}) }
    }),
    expected: expectedOf(board, [{ number: 'good', set: [] }, ...faulty], readings),
  }
}

/** Said where it could not be worked out. */
export const noDiagnosis = (run: string, after: number, problem: string): DiagnosisView =>
  ({ run, after, readings: 0, problem, parts: [], likely: [], enough: null, notes: [], next: [], expected: [] })
