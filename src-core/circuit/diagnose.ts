/** What is broken on a board, from readings at some of its placements, and which to take next. */
import type { BoardType } from '../board/board-type'
import { isLeg } from '../board/lifted-leg'
import { type Allowed, allowedPlacements, gaugesOf, nearPlacements } from './diagnose/allowed-placements'
import { searchedAtOnce } from './diagnose/at-once'
import type { Search } from './diagnose/bases'
import { acrossBridge, bridgeNote, type Bridges, bridgesIn, bridgesOf, capped, measureAcross, searchedWithBridges, unsaid } from './diagnose/bridges'
import type { Cell, SiteFaults } from './diagnose/cells'
import type { Hypothesis, Taken } from './diagnose/hypothesis'
import { type Model, modelOf } from './diagnose/model'
import { type Candidate, candidatesOf, type EffortSettings, type Remaining, usualEffortSettings, effortInWords, percentInWords } from './diagnose/next-action'
import { classesOf, type Context, partReportsOf, type Thresholds, topClassOf, usualThresholds } from './diagnose/report'
import { type Effort, isUnexplained, reconsidered, searched, searchedAnew, searchOf, usualEffort } from './diagnose/search'
import { type AirWrong, keyOfPlacement, seenOf, usualAirWrong } from './diagnose/seen'
import { beforeReading, type CountPrior, heldAgainst, usualCounts } from './diagnose/set-prior'
import { allCells, sitesOf, strayOdds } from './diagnose/sites'
import { cannotSayWhich, joined, setInWords } from './diagnose/set-in-words'
import { slotsOf } from './diagnose/slots'
import { legPlacements, legsOf } from './diagnose/lifted-legs'
import { nearFigures, nextOf, remainingOf, surveyNear } from './diagnose/remaining'
import { type Survey, surveyOf } from './diagnose/survey'
import { capacitorsBetween } from './capacitance'
import { capacitanceNext, entropyOf } from './diagnose/capacitance-next'
import { capacitancePlacements, capacitorsOf } from './diagnose/capacitance-sight'
import { networkOf, type NetworkOptions } from './network'
import type { Diagnosis, FaultClass, Next, PartReport, Placement } from './diagnosis'
import { drivesOfReadings, type MeterDrives, typicalFunctions } from './meter-drive'
import type { ReadingsFile } from './readings-file'

export type DiagnosisOptions = {
  effort: EffortSettings
  thresholds: Thresholds
  counts: CountPrior
  air: AirWrong
  /** Multiplies the weight of a part. */
  weightOf: (ref: string) => number
  search: Effort
}
export const usualOptions: DiagnosisOptions = {
  effort: usualEffortSettings, thresholds: usualThresholds, counts: usualCounts, air: usualAirWrong, weightOf: () => 1, search: usualEffort,
}

/**
 * A board made ready for diagnosis in one state, with one meter. Give it longer and longer files: only what is new is worked out.
 * `only`: the placements that may be proposed, whichever points of their nets they name; without it, every one.
 */
export type Diagnoser = {
  diagnose: (file: ReadingsFile, only?: readonly Placement[]) => Diagnosis
  /** What to take next, from a short search on top of what is known; what was worth measuring before, where that finds nothing; null where nothing was. */
  nextAtOnce: (file: ReadingsFile, only?: readonly Placement[]) => Next | null
}

type Prepared = {
  model: Model; sites: SiteFaults[]; cells: Cell[]; drives: MeterDrives; before: Float64Array; of: string
  search: Search; taken: string[]
  allowed: readonly Allowed[]; keys: readonly string[]
  surveys: Map<Hypothesis, Survey>
  /** `model`: one of its own, so that a search for bridges leaves nothing behind in that of the parts. */
  bridges: Bridges & { model: Model }
  /** With a bridge, where only that explains the readings. */
  bridged: Search | null
  /** What was worth measuring at the last answer, the best first. */
  worth: Next[]
  /** Readings at which a verdict was last looked at from the other end. */
  settledAt: number
}

type Conclusion = { search: Search; context: Context; unexplained: boolean; classes: FaultClass[]; parts: PartReport[]; sure: boolean }

const mostSpares = 3

/** Of the readings of a file: the board's state and temperature. */
const conditionsOf = (file: ReadingsFile): NetworkOptions => ({ state: file.state, ...(file.celsius === undefined ? {} : { celsius: file.celsius }) })

const prepare = (board: BoardType, file: ReadingsFile, options: DiagnosisOptions, of: string, direct: readonly Allowed[], capacitance: boolean): Prepared => {
  const drives = drivesOfReadings(file.sources)
  const sites = sitesOf(board, file.state, options.weightOf, capacitance)
  const allowed = [...direct, ...(capacitance ? capacitancePlacements(board, conditionsOf(file)) : []), ...legPlacements(board, file.state, capacitance)]
  const cells = allCells(board, sites)
  const bridges = bridgesOf(board, sites.length, cells.length)
  const slots = slotsOf(board, [...cells, ...bridges.cells], conditionsOf(file), mostSpares)
  const capacitors = capacitance ? capacitorsOf(board, slots.unknowns, conditionsOf(file)) : []
  const model = modelOf(slots, drives, capacitors)
  const usual = beforeReading(usualCounts, sitesOf(board, file.state, undefined, capacitance).map(({ weight }) => weight))
  const before = heldAgainst(beforeReading(options.counts, sites.map(({ weight }) => weight)), usual, options.thresholds)
  return { model, sites, cells, drives, before, of, allowed, keys: allowed.map(({ nets }) => keyOfPlacement(nets)), search: searchOf(model, sites, cells, options.counts, strayOdds), taken: [], surveys: new Map(), bridges: { ...bridges, model: modelOf(slots, drives, capacitors) }, bridged: null, worth: [], settledAt: -1 }
}

/** Of a test point, or of a lifted leg, whose net has its name. */
const netOf = (board: BoardType, tip: string): string | null => (isLeg(tip) ? tip : board.testPoints.find(({ id }) => id === tip)?.net ?? null)

type Read = { taken: Taken[]; keys: string[]; notes: string[]; last: Placement | null; placements: Set<string> }

const readOf = (board: BoardType, file: ReadingsFile, prepared: Prepared, options: DiagnosisOptions): Read => {
  const out: Read = { taken: [], keys: [], notes: [], last: null, placements: new Set() }
  const legs = new Set(legsOf(file.state).map(({ id }) => id))
  for (const reading of file.readings) {
    const [red, black] = [reading.red, reading.black].map((tip) => (isLeg(tip) && !legs.has(tip) ? null : netOf(board, tip))) as [string | null, string | null]
    const missing = red === null ? reading.red : black === null ? reading.black : null
    const seen = seenOf(reading, prepared.drives, options.air)
    const capacitors = reading.function === 'capacitance' && red !== null && black !== null ? capacitorsBetween(networkOf(board, [], conditionsOf(file)), red, black, prepared.drives) : null
    const at = `${reading.red} to ${reading.black}, ${reading.function}`
    if (missing !== null && isLeg(missing)) out.notes.push(`The reading at ${at} was left out: ${missing.slice(1)} is not lifted.`)
    else if (missing !== null || red === null || black === null) out.notes.push(`The reading at ${at} was left out: ${board.name} has no test point ${missing ?? ''}.`)
    else if (seen === null) out.notes.push(`The reading at ${at} was left out: what a meter reads in ${reading.function} is not computed.`)
    else if (red === black) out.notes.push(`The reading at ${at} was left out: both points lie on net ${red}.`)
    else if (capacitors?.ok === false) out.notes.push(`The reading at ${at} was left out: ${capacitors.because}.`)
    else {
      out.taken.push({ placement: { red, black, function: reading.function }, seen })
      out.keys.push(JSON.stringify(reading))
      out.placements.add(keyOfPlacement({ red, black, function: reading.function }))
      out.last = { red: reading.red, black: reading.black, function: reading.function }
    }
  }
  return out
}

/** Readings taken in at once, at most so many times: each time costs about the same. */
const mostBatches = 12

/** What is known of the readings before those of the file that are new; nothing where a reading was taken back. */
const knownBefore = (prepared: Prepared, keys: readonly string[]): Search =>
  (prepared.taken.length <= keys.length && prepared.taken.every((key, at) => key === keys[at]) ? prepared.search : { ...prepared.search, taken: [], bases: [] })

const takeIn = (prepared: Prepared, { taken, keys }: Read, options: DiagnosisOptions): void => {
  prepared.search = knownBefore(prepared, keys)
  const since = prepared.search.taken.length
  const batch = Math.max(1, Math.ceil((taken.length - since) / mostBatches))
  if (since === taken.length && prepared.search.bases.length === 0) prepared.search = searched(prepared.search, options.search)
  for (let to = Math.min(since + batch, taken.length); to > prepared.search.taken.length; to = Math.min(to + batch, taken.length)) {
    prepared.search = searchedAnew({ ...prepared.search, taken: [...prepared.search.taken, ...taken.slice(prepared.search.taken.length, to)] }, options.search)
  }
  prepared.taken = keys
}

/** Where nothing is known yet: looked at for a moment. */
const effortAtOnce: Effort = { looks: 2, within: 4, below: 4 }
const mostAtOnce = 2

const mostNext = 5

const liftsOf = (reports: Diagnosis['parts'], { lift, replace, leastBits }: EffortSettings): Next[] => reports.flatMap(({ ref, report, probability, unmask }): Next[] => {
  if (report !== 'masked' || unmask === null || unmask.kind === 'measure') return []
  const bits = entropyOf(probability)
  const effort = unmask.kind === 'lift' ? lift : replace
  if (bits / effort < leastBits) return []
  const percent = percentInWords(probability)
  const why = unmask.kind === 'lift' ? `No reading in circuit tells whether ${ref} is faulty (${percent}); measured alone, with one leg lifted, it is told, ${effortInWords(effort)}.`
    : `No reading tells whether ${ref} is faulty (${percent}): replacing ${unmask.ref} settles it, ${effortInWords(effort)}.`
  return [{ action: unmask, bits, effort, why }]
}).sort((a, b) => b.bits / b.effort - a.bits / a.effort)

const notesOf = (board: BoardType, prepared: Prepared, reports: Diagnosis['parts'], file: ReadingsFile): string[] => {
  const typical = typicalFunctions(prepared.drives).filter((what) => file.readings.some((reading) => reading.function === what))
  const modelled = new Set(prepared.sites.map(({ ref }) => ref))
  const without = board.parts.filter(({ ref }) => !modelled.has(ref)).map(({ ref }) => ref)
  const lifted = file.state.filter(({ is }) => is === 'lifted').map((one) => `${one.ref}${'pin' in one ? ` (${one.pin})` : ''}`)
  const legsOn = (ref: string): number => Object.keys(board.parts.find((part) => part.ref === ref)?.pins ?? {}).length
  /** That takes the least work to lift. */
  const easiest = (refs: readonly string[]): string => [...refs].sort((a, b) => legsOn(a) - legsOn(b))[0] ?? ''
  const groups = new Map<string, string[]>()
  for (const { ref, report, witness } of reports) {
    if (report !== 'masked' || witness === null || witness.likely.length !== witness.other.length) continue
    const refs = [...witness.likely, ...witness.other].flatMap((fault) => ('ref' in fault ? [fault.ref] : []))
    const swapped = refs.filter((one) => refs.filter((other) => other === one).length === 1).sort()
    if (!swapped.includes(ref) || swapped.length < 2) continue
    // All pairs are told from the same likeliest set: those with a part in common are one group.
    const met = swapped.length > 2 ? undefined : [...groups.entries()].find(([, others]) => others.some((one) => swapped.includes(one)))
    if (met !== undefined) groups.delete(met[0])
    const all = [...new Set([...met?.[1] ?? [], ...swapped])].sort()
    groups.set(all.join(' '), all)
  }
  return [
    ...(typical.length > 0 ? [`What this meter drives in ${joined(typical)} was not given; typical figures were used.`] : []),
    ...[...groups.values()].map((refs) => `One of ${joined(refs)} is faulty, ${cannotSayWhich}; lift ${easiest(refs)} at one leg and measure it alone.`),
    ...(lifted.length > 0 ? [`Lifted: ${joined(lifted)}. No final verdict while anything is lifted.`] : []),
    ...(without.length > 0 ? [`${joined(without)}: no reading is computed for ${without.length === 1 ? 'this part' : 'these parts'}; look at ${without.length === 1 ? 'it' : 'them'}.`] : []),
  ]
}

const unexplainedNote = 'No set of up to five faults explains all these readings: one of them may be of another place, or something else is on the board. Take them again.'

/** Stops at this probability of the likeliest class (circuit.md). */
export const sureFrom = 0.95

export const diagnoserOf = (board: BoardType, given: Partial<DiagnosisOptions> = {}): Diagnoser => {
  const options = { ...usualOptions, ...given }
  const every = allowedPlacements(board)
  const direct: Allowed[] = nearPlacements(board, every)
  const distant = every.filter((one) => !direct.includes(one))
  let prepared: Prepared | null = null
  const keyOf = ({ red, black, function: what }: Placement): string => keyOfPlacement({ red: netOf(board, red) ?? '', black: netOf(board, black) ?? '', function: what })
  const readyFor = (file: ReadingsFile, only: readonly Placement[] = []): Prepared => {
    const capacitance = file.sources?.capacitance !== undefined || [...file.readings, ...only].some((one) => one.function === 'capacitance')
    const of = JSON.stringify([file.state, file.celsius ?? null, file.sources ?? null, capacitance])
    return prepared = prepared !== null && prepared.of === of ? prepared : prepare(board, file, options, of, direct, capacitance)
  }
  /** Surveys of this answer and the last are kept. */
  const surveying = (ready: Prepared): { surveyed: (hypothesis: Hypothesis) => Survey; fresh: Map<Hypothesis, Survey> } => {
    const fresh = new Map<Hypothesis, Survey>()
    const further = [...ready.cells.filter(({ kind }) => kind !== 'stray'), ...(ready.bridged === null ? [] : ready.bridges.cells)]
    return { fresh, surveyed: (hypothesis) => {
      const known = surveyNear(fresh, hypothesis, 0) ?? surveyNear(ready.surveys, hypothesis, 0) ?? surveyOf((ready.bridged ?? ready.search).model, hypothesis, ready.allowed, { further })
      fresh.set(hypothesis, known)
      return known
    } }
  }
  /** Whether a placement, by its key, was not taken and may be proposed. */
  const openOf = (read: Read, only?: readonly Placement[]): ((key: string) => boolean) => {
    const proposable = only === undefined ? null : new Set(only.map(keyOf))
    return (key) => !read.placements.has(key) && proposable?.has(key) !== false
  }
  const candidates = (ready: Prepared, read: Read, states: readonly Remaining[], isOpen: (at: number) => boolean): Candidate[] =>
    candidatesOf(ready.allowed, states, (at) => !isOpen(at), read.last, gaugesOf(ready.drives), options.effort).filter(({ bits, effort }) => bits / effort >= options.effort.leastBits)
  return {
    diagnose: (file, only) => {
      const ready = readyFor(file, only)
      const read = readOf(board, file, ready, options)
      takeIn(ready, read, options)
      const conclude = (search: Search, surveyed: (hypothesis: Hypothesis) => Survey): Conclusion => {
        const context: Context = { board, search, allowed: ready.allowed, distant, gaugeOf: gaugesOf(ready.drives), surveyOf: surveyed, before: ready.before, thresholds: options.thresholds }
        const unexplained = isUnexplained(search)
        const first = unexplained ? null : topClassOf(context)
        const classes = first === null ? [] : classesOf(context, first)
        return { search, context, unexplained, classes, parts: partReportsOf(context, first), sure: (classes[0]?.probability ?? 0) >= sureFrom }
      }
      const wasBridged = ready.bridged !== null
      ready.bridged = isUnexplained(ready.search) ? searchedWithBridges(ready.search, ready.bridges, options.search) : null
      if (wasBridged !== (ready.bridged !== null)) ready.surveys = new Map()
      const { surveyed, fresh } = surveying(ready)
      const isOpen = openOf(read, only)
      /** What is still worth measuring; nothing once the class is sure, and said. */
      const worthOf = ({ search }: Conclusion, isSettled: boolean): { states: Remaining[]; best: Candidate[] } => {
        const states = remainingOf(search, surveyed)
        return { states, best: isSettled ? [] : candidates(ready, read, states, (at) => isOpen(ready.keys[at] ?? '')) }
      }
      let conclusion = conclude(ready.bridged ?? ready.search, surveyed)
      let { states, best } = worthOf(conclusion, conclusion.sure && ready.bridged === null)
      if (best.length === 0 && ready.bridged === null && ready.settledAt !== read.taken.length) {
        ready.search = reconsidered(ready.search, options.search)
        ready.settledAt = read.taken.length
        conclusion = conclude(ready.search, surveyed)
        ;({ states, best } = worthOf(conclusion, conclusion.sure))
      }
      const bridges = ready.bridged === null ? [] : bridgesIn(ready.bridged)
      const unmeasured = bridges.flatMap((bridge) => {
        const placement = acrossBridge(board, bridge)
        return placement !== null && read.placements.has(keyOf(placement)) ? [] : [{ bridge, placement }]
      })
      const isSaid = unmeasured.length === 0
      if (isSaid && conclusion.sure) best = []
      const { context, unexplained } = conclusion
      const [classes, parts] = isSaid ? [conclusion.classes, conclusion.parts] : [capped(conclusion.classes), unsaid(conclusion.parts)]
      const across = unmeasured.flatMap(({ bridge, placement }) => (placement !== null && isOpen(keyOf(placement)) ? [measureAcross(bridge, placement, read.last, options.effort)] : []))
      /** As the classes have it, summed over those said in the same words: one share for one state, wherever it is said. */
      const listed = (words: string): number | null => {
        const named = classes.filter(({ sets: [set] }) => set !== undefined && setInWords(set) === words)
        return named.length === 0 ? null : named.reduce((sum, { probability }) => sum + probability, 0)
      }
      ready.worth = [...across, ...best.slice(0, mostNext).flatMap((one) => nextOf(one, states, context.gaugeOf, listed))]
      ready.surveys = fresh
      const capacitances = capacitanceNext(board, file.state, parts, ready.allowed.filter((_, which) => isOpen(ready.keys[which] ?? '')), read.last, options.effort)
        .filter(({ action }) => !ready.worth.some((one) => JSON.stringify(one.action) === JSON.stringify(action)))
      const said = [...(unexplained ? [unexplainedNote] : []), ...(bridges.length > 0 ? [bridgeNote(bridges, isSaid)] : [])]
      return { parts, classes, next: [...ready.worth, ...capacitances, ...liftsOf(parts, options.effort)], notes: [...read.notes, ...said, ...notesOf(board, ready, parts, file)] }
    },
    nextAtOnce: (file, only) => {
      const ready = readyFor(file, only)
      const read = readOf(board, file, ready, options)
      const plain = knownBefore(ready, read.keys)
      const before = ready.bridged !== null && plain.bases.length > 0 ? ready.bridged : plain
      const search = before.bases.length > 0 ? searchedAtOnce({ ...before, taken: read.taken }) : searched({ ...before, taken: read.taken }, effortAtOnce)
      const isOpen = openOf(read, only)
      const at = (which: number): boolean => isOpen(ready.keys[which] ?? '')
      const [from] = ready.surveys.values()
      const states = remainingOf(search, (hypothesis, further) =>
        surveyNear(ready.surveys, hypothesis, nearFigures) ?? surveyOf(search.model, hypothesis, ready.allowed, { further, at, from }), mostAtOnce)
      const [best] = candidates(ready, read, states, at)
      if (best !== undefined) return nextOf(best, states, gaugesOf(ready.drives))[0] ?? null
      return ready.worth.find(({ action }) => action.kind === 'measure' && isOpen(keyOf(action.placement))) ?? null
    },
  }
}

/** Once; for reading after reading keep a `diagnoserOf`. */
export const diagnose = (board: BoardType, file: ReadingsFile, options: Partial<DiagnosisOptions> = {}): Diagnosis => diagnoserOf(board, options).diagnose(file)
