/** Puts a diagnosis into words and places, for the screens. */
import type { BoardType, MeasureStep, TestPoint } from '../board/board-type'
import { isLeg } from '../board/lifted-leg'
import { stepsOfParts } from '../board/part-state'
import { partSpots } from '../board/part-spots'
import { sureFrom } from '../circuit/diagnose'
import type { Action, Diagnosis, FaultClass, PartReport, Placement } from '../circuit/diagnosis'
import { readsAcross } from '../circuit/expected-reading'
import { allowedFaults, type Fault, faultInWords, sameWithinSpread } from '../circuit/faults'
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

const joined = (words: readonly string[]): string => (words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`)
const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`
/** "the anode of D1", "pin 1 of R4". */
const legInWords = (ref: string, pin: string): string => (/^[a-z]+$/.test(pin) ? `the ${pin} of ${ref}` : `pin ${pin} of ${ref}`)

const setInWords = (set: readonly Fault[]): string => (set.length === 0 ? 'no part is at fault' : joined(set.map(faultInWords)))

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

const unmaskInWords = (own: string, unmask: Action | null): string => {
  switch (unmask?.kind) {
    case 'lift': return `To tell, lift ${legInWords(unmask.ref, unmask.pin)} and measure ${own} alone.`
    case 'replace': return unmask.ref === own ? 'No reading tells: replace it as a precaution.' : `Repair ${unmask.ref} first, then measure again.`
    case 'measure':
    case undefined: return 'No reading here tells.'
  }
}

const saysOf = ({ ref, report, kinds, maskedBy, unmask }: PartReport): string => {
  switch (report) {
    case 'good': return ''
    case 'faulty': return kinds.slice(0, 2).map(({ fault }, at) => (at === 0 ? sentence(faultInWords(fault)) : `Or ${faultInWords(fault)}.`)).slice(0, (kinds[1]?.probability ?? 0) > 0.1 ? 2 : 1).join(' ')
    case 'masked': return `${maskedBy.length === 0 ? 'No reading in circuit shows its state.' : `Hidden by ${joined(maskedBy)}.`} ${unmaskInWords(ref, unmask)}`
    case 'unprobed': return 'No reading tells enough of it yet.'
  }
}

/** A part of which no reading is computed has no report; the notes name it. */
const hasReport = (board: BoardType, ref: string): boolean => board.parts.some((part) => part.ref === ref && allowedFaults(part.kind).length > 0)

const order = ['faulty', 'masked', 'unprobed', 'good'] as const

const partsOf = (board: BoardType, parts: readonly PartReport[]): PartReportView[] => {
  const spots = new Map(partSpots(board).map(({ ref, x, y }) => [ref, { x, y }]))
  return order.flatMap((which) => parts.filter(({ ref, report }) => report === which && hasReport(board, ref)).sort((a, b) => b.probability - a.probability))
    .map((part) => ({ ref: part.ref, report: part.report, chance: chanceInWords(part.probability), says: saysOf(part), spot: spots.get(part.ref) ?? null }))
}

const mostLikely = 4
const leastLikely = 0.02

/** Whether both sets are told as one: in the same words, or with figures that differ by less than is known of them. */
const toldAlike = (a: readonly Fault[], b: readonly Fault[]): boolean =>
  setInWords(a) === setInWords(b) || (a.length === b.length && a.every((one) => b.some((other) => sameWithinSpread(one, other))))

type Likely = { set: Fault[]; probability: number; alike: Fault[][] }

/**
 * Sets that are told alike, such as with and without a leak that is nobody's fault, are one line with the sum of their chances. Sets with more
 * faults than the likeliest hide beside it: the part's own report says so.
 */
const likelyOf = (classes: readonly FaultClass[]): { set: Fault[]; shown: DiagnosisView['likely'][number] }[] => {
  const lines: Likely[] = []
  for (const { sets: [set, ...others], probability } of classes) {
    if (set === undefined) continue
    let line = lines.find((one) => toldAlike(one.set, set))
    if (line === undefined) {
      line = { set, probability: 0, alike: [] }
      lines.push(line)
    }
    line.probability += probability
    for (const one of others) if (one.length <= set.length && ![line.set, ...line.alike].some((told) => toldAlike(told, one))) line.alike.push(one)
  }
  return lines.sort((a, b) => b.probability - a.probability).slice(0, mostLikely).filter(({ probability }, at) => at === 0 || probability >= leastLikely)
    .map(({ set, probability, alike }, at) => ({ set, shown: { number: at + 1, words: setInWords(set), chance: chanceInWords(probability), alike: alike.map(setInWords) } }))
}

/** Nothing more is proposed to be measured from here on (circuit.md); the technician may go on all the same. */
const enoughOf = (classes: readonly FaultClass[], likely: readonly DiagnosisView['likely'][number][], readings: number): string | null => {
  const [first] = likely
  if (first === undefined || readings === 0 || !classes.some(({ probability }) => probability >= sureFrom)) return null
  const alike = first.alike.length === 0 ? '' : `, or what reads the same (${first.alike.join('; ')})`
  return `Sure enough: ${first.words}${alike}, ${first.chance}. Measuring more would hardly change that.`
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
  const likely = likelyOf(diagnosis.classes)
  const faulty = likely.filter(({ set }) => set.length > 0)
  const none = likely.find(({ set }) => set.length === 0)
  return {
    run, after, readings: readings.readings.length, problem: null, parts: partsOf(board, diagnosis.parts), likely: likely.map(({ shown }) => shown), notes: diagnosis.notes,
    ...(none === undefined ? {} : { noPart: none.shown.chance }), enough: enoughOf(diagnosis.classes, likely.map(({ shown }) => shown), readings.readings.length),
    next: diagnosis.next.map(({ action, why }) => {
      const step = stepOf(board, action, { readings, open })
      const alone = step === null && action.kind === 'measure' && (isLeg(action.placement.red) || isLeg(action.placement.black))
      return { words: actionInWords(board, action, step), why, step: step?.id ?? null, action: action.kind, ...(alone ? { alone: action.placement } : {}) }
    }),
    expected: expectedOf(board, [{ number: 'good', set: [] }, ...faulty.map(({ set, shown: { number } }) => ({ number: `${number}`, set }))], readings),
  }
}

/** Said where it could not be worked out. */
export const noDiagnosis = (run: string, after: number, problem: string): DiagnosisView =>
  ({ run, after, readings: 0, problem, parts: [], likely: [], enough: null, notes: [], next: [], expected: [] })
