/** The scoring of the diagnosis on hidden faults (circuit.md): one board, and all of them together. */
import type { BoardType } from '../../../../src-core/board/board-type'
import { allowedFaults, faultText } from '../../../../src-core/circuit/faults'
import { type Diagnoser, probeAdaptively, probeFixed, type Session } from './adaptive'
import { type Baselines, baselinesOf, type Effort, effortOf, totalOf } from './baselines'
import { type DrawnBoard, drawBoard, plain, type Twist } from './drawn-board'
import { exactness, reportedWitnessFits } from './exact'
import type { Statement } from './reliability'
import { findWitness } from './witness'

export type Wrong = { ref: string; what: 'faulty called good' | 'good called faulty' | 'masked without a witness'; probability: number }
export type BoardScore = {
  seed: number; board: string; faults: string[]; strays: boolean; missed: number
  ended: Session['ended']; effort: Effort
  /** Of each baseline on this very board. */
  baselines: Record<keyof Baselines, Effort>
  parts: { faulty: boolean; report: string; probability: number }[]
  masked: number; wrong: Wrong[]
  exact: ReturnType<typeof exactness>; groupSize: number; topProbability: number
  ms: number[]
}

/** Which readings the diagnosis is scored on. `everything`: every allowed placement. */
export type Regime = 'adaptive' | 'separating' | 'everything'

const baselineCache = new WeakMap<BoardType, Baselines>()
export const baselinesFor = (board: BoardType): Baselines => {
  const known = baselineCache.get(board) ?? baselinesOf(board)
  baselineCache.set(board, known)
  return known
}

const effortAt = (drawn: DrawnBoard, order: readonly number[]): Effort =>
  effortOf(order.map((index) => ({ function: drawn.placements[index]?.function ?? '', value: drawn.truth[index] === Infinity ? 'overload' : drawn.truth[index] ?? 0 })))

export const scoreDrawn = (drawn: DrawnBoard, diagnose: Diagnoser, clock: () => number, regime: Regime = 'adaptive'): BoardScore => {
  const baselines = baselinesFor(drawn.board)
  const session = regime === 'adaptive' ? probeAdaptively(drawn, diagnose, clock)
    : probeFixed(drawn, regime === 'separating' ? baselines.separating : [...drawn.placements.keys()], diagnose, clock)
  const { diagnosis } = session
  const failing = new Set(drawn.board.parts.filter(({ kind }) => allowedFaults(kind).length > 0).map(({ ref }) => ref))
  const broken = new Set(drawn.faults.map(({ ref }) => ref))
  const reports = diagnosis.parts.filter(({ ref }) => failing.has(ref))
  const wrong = reports.flatMap(({ ref, report, probability }): Wrong[] => {
    if (report === 'good' && broken.has(ref)) return [{ ref, what: 'faulty called good', probability }]
    if (report === 'faulty' && !broken.has(ref)) return [{ ref, what: 'good called faulty', probability }]
    if (report === 'masked' && findWitness(drawn, ref) === null && !reportedWitnessFits(drawn, diagnosis, ref)) return [{ ref, what: 'masked without a witness', probability }]
    return []
  })
  const [top] = diagnosis.classes
  return {
    seed: drawn.seed, board: `${drawn.board.id}-${drawn.board.revision}`, faults: drawn.faults.map(faultText), strays: drawn.circumstances.strays.length > 0,
    missed: session.taken.filter(({ missed }) => missed).length,
    ended: session.ended, effort: effortOf(session.taken),
    baselines: { partByPart: effortAt(drawn, baselines.partByPart), detecting: effortAt(drawn, baselines.detecting), separating: effortAt(drawn, baselines.separating) },
    parts: [...failing].map((ref) => {
      const report = reports.find((one) => one.ref === ref)
      return { faulty: broken.has(ref), report: report?.report ?? 'unprobed', probability: report?.probability ?? NaN }
    }),
    masked: reports.filter(({ report }) => report === 'masked').length, wrong,
    exact: exactness(drawn, top?.sets), groupSize: top?.sets.length ?? 0, topProbability: top?.probability ?? 0, ms: session.ms,
  }
}

/** `fresh` gives a diagnoser for one board: it may keep what it worked out from reading to reading. */
export const scoreSeeds = (
  boards: readonly BoardType[], seeds: readonly number[], fresh: () => Diagnoser, clock: () => number,
  options: { twist?: Twist; regime?: Regime; each?: (score: BoardScore) => void } = {},
): BoardScore[] => seeds.map((seed) => {
  const score = scoreDrawn(drawBoard(boards, seed, options.twist ?? plain), fresh(), clock, options.regime)
  options.each?.(score)
  return score
})

export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = sorted.length / 2
  return sorted.length === 0 ? NaN : ((sorted[Math.ceil(middle) - 1] ?? NaN) + (sorted[Math.floor(middle)] ?? NaN)) / 2
}

export type Totals = {
  boards: number
  faultyCalledGoodPct: number; goodCalledFaultyPct: number
  /** What the calls leave open: faulty parts called faulty and good parts called good, %; the rest is masked or unprobed. */
  faultyCalledFaultyPct: number; goodCalledGoodPct: number
  masked: number; maskedWithoutWitness: number
  exactFirstPct: number; listedFirstPct: number; groupMean: number
  touchesVsPartByPart: number; touchesOverSeparating: number
  statements: Statement[]; classStatements: Statement[]
}

const pct = (part: number, whole: number): number => (whole === 0 ? 0 : (100 * part) / whole)

export const totalsOf = (scores: readonly BoardScore[]): Totals => {
  const parts = scores.flatMap((score) => score.parts)
  const [faulty, good] = [parts.filter((part) => part.faulty), parts.filter((part) => !part.faulty)]
  const share = (of: typeof parts, report: string): number => pct(of.filter((part) => part.report === report).length, of.length)
  const count = (holds: (score: BoardScore) => boolean): number => scores.filter(holds).length
  return {
    boards: scores.length,
    faultyCalledGoodPct: share(faulty, 'good'), goodCalledFaultyPct: share(good, 'faulty'),
    faultyCalledFaultyPct: share(faulty, 'faulty'), goodCalledGoodPct: share(good, 'good'),
    masked: scores.reduce((sum, { masked }) => sum + masked, 0),
    maskedWithoutWitness: scores.reduce((sum, { wrong }) => sum + wrong.filter(({ what }) => what === 'masked without a witness').length, 0),
    exactFirstPct: pct(count(({ exact }) => exact !== 'other'), scores.length),
    listedFirstPct: pct(count(({ exact }) => exact === 'listed'), scores.length),
    groupMean: scores.reduce((sum, { groupSize }) => sum + groupSize, 0) / Math.max(1, scores.length),
    touchesVsPartByPart: median(scores.map(({ effort, baselines }) => totalOf(effort) / totalOf(baselines.partByPart))),
    touchesOverSeparating: median(scores.map(({ effort, baselines }) => totalOf(effort) - totalOf(baselines.separating))),
    statements: parts.filter(({ probability }) => Number.isFinite(probability)).map(({ probability, faulty: is }) => ({ stated: probability, true: is })),
    classStatements: scores.map(({ topProbability, exact }) => ({ stated: topProbability, true: exact !== 'other' })),
  }
}
