/** Runs as the app stores them, made by the thousand: invented units of the sample boards, spread over three years of working days. */
import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { boardType, type BoardType } from '../../src-core/board/board-type'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { usualBenchKit, type Meter } from '../../src-core/meter/instrument'
import { blankRegisterEntry } from '../../src-core/meter/register'
import { unitOf } from '../../src-core/meter/reading'
import { decide } from '../../src-core/metrology/decide'
import { toleranceInterval } from '../../src-core/metrology/interval'
import type { Limits } from '../../src-core/metrology/limits'
import { expandedUncertainty } from '../../src-core/metrology/uncertainty'
import { seconds } from '../../src-core/quantity/units'
import type { CapturedBody, RunEvent, RunEventBody } from '../../src-core/run/event'
import { root } from './running-app'

export const madeMeter: Meter = {
  id: 'bench-meter', name: 'Bench meter', description: 'Line meter A', port: null, settings: null, isolated: 'yes', accuracy: {},
  air: [{ function: 'diode', range: null, apart: 'overload', joined: null }], leadCheck: null, diodeCheck: null, sourceCheck: null, register: blankRegisterEntry,
}

/** The sample board under another name, as a shop with several products has them. */
export const boardNamed = (id: string, name: string, revision: string): { board: BoardType; sha256: string } => {
  const file = JSON.parse(readFileSync(join(root, 'fixtures/boards/vent-driver-node/board.json'), 'utf8')) as Record<string, unknown>
  const board = boardType.parse({ ...file, id, name, revision })
  return { board, sha256: createHash('sha256').update(JSON.stringify(board)).digest('hex') }
}

/** A UUID (version 4 in form) from two numbers: the same each time. */
const uuidOf = (seed: number, n: number): string => {
  const hex = createHash('sha256').update(`${seed} ${n}`).digest('hex')
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-4${hex.slice(13, 16)}-8${hex.slice(17, 20)}-${hex.slice(20, 32)}`
}

type MeasureStep = Extract<BoardType['sequence']['steps'][number], { kind: 'measure' }>

const centreOf = (limits: Limits): number | 'overload' => {
  if (limits === 'open') return 'overload'
  if (limits === 'short') return 0.4
  if ('atMost' in limits) return limits.atMost / 2
  if ('atLeast' in limits) return limits.atLeast * 2
  const [low, high] = toleranceInterval(limits)
  return (low + high) / 2
}

const touchOf = (step: MeasureStep, off: number): CapturedBody => {
  const { limits } = step
  if (limits === undefined) throw new Error(`${step.id} has no limits`)
  const centre = centreOf(limits)
  const value = typeof centre === 'number' ? centre * (1 + off) : centre
  const resolution = typeof value === 'number' ? 10 ** Math.floor(Math.log10(Math.abs(value) || 1) - 3) : null
  const uncertainty = expandedUncertainty(value, resolution, typeof value === 'number' ? value * 0.0004 : null, null)
  const verdict = decide(value, limits, uncertainty?.U ?? null, { kind: 'simple-acceptance', r: 0 }, { function: step.function, inAir: value === 'overload' })
  return {
    kind: 'captured', step: step.id, touch: 1, function: step.function, range: typeof value === 'number' ? 6000 * (resolution ?? 1) : null, resolution, unit: unitOf[step.function],
    value, median: typeof value === 'number' ? value : null, sd: typeof value === 'number' ? value * 0.0004 : null, conversions: 5, seconds: 1.9,
    raw: Array.from({ length: 5 }, (_, k) => Buffer.from(`RES ${typeof value === 'number' ? (value + k * (resolution ?? 0)).toPrecision(5) : 'OL'} Ohm A\r\n`).toString('hex')),
    uncertainty, limits, rule: { kind: 'simple-acceptance', r: 0 }, verdict, evidence: value === 'overload' ? 'confirmed' : 'steady',
  }
}

export type MadeRun = {
  of: { board: BoardType; sha256: string }; run: string; session: string; startedMs: number; serialNumber: string
  /** Null: the run was left. */
  verdict: 'pass' | 'fail' | 'beyond-repair' | 'incomplete' | null
  practice?: boolean; random: () => number; meter?: Meter | null
}

/** Every event of one run, in order. Of a run that failed one value lies outside its limits. */
export const madeRun = ({ of: { board, sha256 }, run, session, startedMs, serialNumber, verdict, practice = false, random, meter = madeMeter }: MadeRun): RunEvent[] => {
  const steps = board.sequence.steps
  const measured = steps.filter((step) => step.kind === 'measure')
  const faulty = measured[Math.floor(random() * measured.length)]
  const bodies: RunEventBody[] = [{
    kind: 'started', board: { id: board.id, revision: board.revision, sha256 }, sequence: { id: board.sequence.id, version: board.sequence.version }, serialNumber, meter, kit: usualBenchKit,
    rule: { kind: 'simple-acceptance', r: 0 }, prepare: [], ...(practice ? { practice: { seed: 1, faults: [] } } : {}),
  }]
  for (const [index, step] of (verdict === null ? steps.slice(0, 3) : steps).entries()) {
    const failing = step === faulty && (verdict === 'fail' || verdict === 'beyond-repair')
    if (verdict === 'incomplete' && step === faulty) bodies.push({ kind: 'skipped', step: step.id, reason: 'no access with the cover on' })
    else bodies.push(step.kind === 'measure' ? touchOf(step, failing ? 0.6 : (random() - 0.5) * 0.004) : { kind: 'done', step: step.id })
    const made = bodies.at(-1)
    const is = made?.kind === 'captured' ? made.verdict : made?.kind === 'skipped' ? 'not-judged' : 'pass'
    bodies.push({ kind: 'decided', step: step.id, verdict: is, from: [bodies.length], next: steps[index + 1]?.id ?? 'end' })
  }
  if (verdict !== null) bodies.push({ kind: 'ended', verdict, because: verdict === 'pass' ? 'Every step that was asked for lies within its limits.' : `Made ${verdict}.` })
  return bodies.map((body, index) => ({ ...body, v: 1, run, seq: index + 1, session, utc: new Date(startedMs + 4000 * index).toISOString(), at: seconds(100 + 4 * index) }))
}

export const productsMade = [
  boardNamed('vent-driver-node', 'Vent driver node', 'C'), boardNamed('vent-driver-node', 'Vent driver node', 'D'), boardNamed('mist-valve-node', 'Mist valve node', 'A'),
  boardNamed('shade-motor-node', 'Shade motor node', 'B'), boardNamed('soil-relay', 'Soil relay', 'A'), boardNamed('climate-hub', 'Climate hub', '2'),
]
const prefixes: Record<string, string> = { 'vent-driver-node': 'VD', 'mist-valve-node': 'MV', 'shade-motor-node': 'SM', 'soil-relay': 'SR', 'climate-hub': 'CH' }
const firstDay = Date.UTC(2023, 0, 2, 6, 0, 0)
const dayMs = 86_400_000

/** `count` runs in the order they were begun: about two thirds pass, one in twelve is practice, units come back now and then. */
export const madeRuns = function* (count: number, seed: number): Generator<RunEvent[]> {
  const random = seededRandom(seed)
  const days = 1095
  for (let n = 0; n < count; n += 1) {
    const of = productsMade[Math.floor(random() ** 1.6 * productsMade.length)] ?? productsMade[0]
    if (of === undefined) return
    const draw = random()
    const verdict = draw < 0.64 ? 'pass' : draw < 0.88 ? 'fail' : draw < 0.93 ? 'beyond-repair' : draw < 0.99 ? 'incomplete' : null
    const practice = random() < 1 / 12
    const unit = Math.floor(random() * count * 0.7)
    const serialNumber = random() < 0.06 ? '' : practice ? `practice ${unit}` : `${prefixes[of.board.id] ?? 'XX'}-${String(unit).padStart(6, '0')}`
    const startedMs = firstDay + Math.floor((n / count) * days) * dayMs + Math.floor((((n / count) * days) % 1) * 9 * 3_600_000)
    yield madeRun({ of, run: uuidOf(seed, n), session: uuidOf(seed, -1), startedMs, serialNumber, verdict, practice, random })
  }
}
