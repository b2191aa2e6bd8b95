/** Probing as the diagnosis asks for it, until it is 0.95 sure of its class or asks for no further reading. */
import type { Diagnosis } from '../../../../src-core/circuit/diagnosis'
import type { MeterDrive } from '../../../../src-core/circuit/meter-drive'
import type { ReadingsFile } from '../../../../src-core/circuit/readings-file'
import type { DrawnBoard } from './drawn-board'
import { type NetPlacement, sameAllowed } from './placements'
import { uOf } from './bench-meter'
import { ceilingOf } from './state-readings'

export type FileReading = ReadingsFile['readings'][number]
export type Taken = { function: string; value: number | 'overload'; missed: boolean }
/** Gives a diagnosis for the readings so far. */
export type Diagnoser = (board: DrawnBoard['board'], readings: ReadingsFile) => Diagnosis

export type Session = {
  diagnosis: Diagnosis
  taken: Taken[]
  /** Of each call, ms. */
  ms: number[]
  ended: 'sure' | 'nothing repays' | 'nothing explains it' | 'readings used up' | 'asked for what is not allowed'
}

export const sureFrom = 0.95
/** A bench would have given up: more readings than the longest baseline of any sample board. */
const mostReadings = 150

const blank = (drawn: DrawnBoard): ReadingsFile => {
  const source = ({ ranges, plus }: MeterDrive): { volts: number; ohms: number; amperes: number; plus: 'red' | 'black' } => {
    const [{ volts, ohms, amperes } = { volts: NaN, ohms: NaN, amperes: NaN }, ...more] = ranges
    if (more.length > 0) throw new RangeError('A readings file holds one source a function; the scored meter drives all ranges alike.')
    return { volts, ohms, amperes, plus }
  }
  return {
    schema: 'probewright/readings/1', board: { id: drawn.board.id, revision: drawn.board.revision }, celsius: 25, state: [],
    sources: { resistance: source(drawn.told.resistance), diode: source(drawn.told.diode) }, readings: [],
  }
}

/** One touch as a readings file has it. */
export const fileReadingOf = (drawn: DrawnBoard, at: NetPlacement, value: number | 'overload'): FileReading => {
  const { red, black, function: what } = at
  if (value !== 'overload') return { red, black, function: what, value, U: 2 * uOf(drawn.meter, what, value), k: 2, evidence: 'steady' }
  return { red, black, function: what, value, ceiling: ceilingOf(at, drawn.told), evidence: 'confirmed' }
}

/** Readings at these placements, in this order, then the diagnosis once. */
export const probeFixed = (drawn: DrawnBoard, order: readonly number[], diagnose: Diagnoser, clock: () => number): Session => {
  const file = blank(drawn)
  const taken: Taken[] = []
  for (const index of order) {
    const at = drawn.placements[index]
    if (at === undefined) continue
    const { value, missed } = drawn.touch(index)
    taken.push({ function: at.function, value, missed })
    file.readings.push(fileReadingOf(drawn, at, value))
  }
  const from = clock()
  const diagnosis = diagnose(drawn.board, file)
  return { diagnosis, taken, ms: [clock() - from], ended: 'readings used up' }
}

/** So many diagnoses in a row that nothing explains, and the technician stops: so says the app, which asks for the readings again. */
const mostUnexplained = 8

export const probeAdaptively = (drawn: DrawnBoard, diagnose: Diagnoser, clock: () => number): Session => {
  const file = blank(drawn)
  const taken: Taken[] = []
  const ms: number[] = []
  let unexplained = 0
  for (;;) {
    const from = clock()
    const diagnosis = diagnose(drawn.board, file)
    ms.push(clock() - from)
    unexplained = diagnosis.classes.length === 0 ? unexplained + 1 : 0
    const done = (ended: Session['ended']): Session => ({ diagnosis, taken, ms, ended })
    if ((diagnosis.classes[0]?.probability ?? 0) >= sureFrom) return done('sure')
    // Lifting and replacing come after the readings: the best action that is one is taken, and none ends the probing.
    const [next] = diagnosis.next.flatMap(({ action }) => (action.kind === 'measure' ? [action.placement] : []))
    if (next === undefined) return done('nothing repays')
    if (unexplained >= mostUnexplained) return done('nothing explains it')
    if (taken.length >= mostReadings) return done('readings used up')
    const at = sameAllowed(drawn.board, drawn.placements, next)
    if (at === null) return done('asked for what is not allowed')
    const { value, missed } = drawn.touch(drawn.placements.indexOf(at))
    taken.push({ function: at.function, value, missed })
    file.readings = [...file.readings, fileReadingOf(drawn, at, value)]
  }
}
