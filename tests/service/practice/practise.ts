/** Plays a whole practice run in simulated time: technician, practice meter, decoder and bench, with nothing between them but bytes. */
import { parseFaults } from '../../../src-core/circuit/faults'
import { lineDecoder } from '../../../src-core/meter/decode-line'
import { linesOf } from '../../../src-core/meter/framing'
import { type Meter, usualBenchKit } from '../../../src-core/meter/instrument'
import { blankRegisterEntry } from '../../../src-core/meter/register'
import type { MeterFunction } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import { absorb, type Bench, type BenchContext, type FunctionFacts, isShownAnew, openBench } from '../../../src-core/run/bench'
import { conduct } from '../../../src-core/run/conduct'
import type { Conducted } from '../../../src-core/run/conducted'
import type { RunEvent, RunEventBody } from '../../../src-core/run/event'
import { makePlan } from '../../../src-core/run/plan'
import { preparationSteps, sessionStepsDue } from '../../../src-core/run/preparation'
import { answerLimits, limitsRequestOf } from '../../../src-core/run/limits-request'
import { liveView } from '../../../src-core/run/live'
import { boardAsked, underLeads } from '../../../src-core/practice/board-now'
import { inTheAir } from '../../../src-core/practice/hand'
import { answerPlacements, placementsRequestOf, type PlacementsAnswer, type PlacementsRequest } from '../../../src-core/run/placements-request'
import { benchView } from '../../../src-core/run/show'
import { rebuild } from '../../../src-core/run/state'
import { withWalks, type KnownWalks } from '../../../src-core/run/walk'
import { createPracticeMeter, quickened } from '../../../src-main/service/practice/practice-meter'
import { technician, technicianAtRest } from '../../../src-main/service/practice/technician'
import { sampleBoard, shippedDescription } from './shipped'

const stamp = (body: RunEventBody, seq: number, at: number): RunEvent =>
  ({ v: 1, run: '00000000-0000-4000-8000-000000000001', session: '00000000-0000-4000-8000-000000000002',
    utc: new Date(1.8e12 + at * 1000).toISOString(), at: seconds(at), seq, ...body })

/** The hand looks this often, s, and the bench is told the time every third look: about as in the app (25 ms and 100 ms). */
const turnSeconds = 0.04
const turnsPerTick = 3

const known = new Map<string, PlacementsAnswer>()
/** Once a board: it takes a second. */
const placementsFor = (asked: PlacementsRequest): PlacementsAnswer => {
  const key = `${asked.placementsOf.id} ${asked.placementsOf.revision} ${asked.key}`
  const answer = known.get(key) ?? answerPlacements(asked)
  known.set(key, answer)
  return { ...answer, key: asked.key }
}

export type Practised = { bench: Bench; seconds: number; refusals: string[]; presses: number }

/** Until the run has ended, or for `most` seconds of simulated time. */
export const practise = (faults: string[], seed: number, description = quickened(shippedDescription('line-meter-a.json')), most = 600,
  board = sampleBoard(), walks?: KnownWalks, beside?: true): Practised => {
  const parsed = parseFaults(board, faults)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  const meter: Meter = {
    id: 'm', name: 'practice meter', description: description.name, port: null, settings: null, isolated: 'yes', accuracy: {}, air: [], leadCheck: null,
      diodeCheck: null, sourceCheck: null, register: blankRegisterEntry,
  }
  const facts: Partial<Record<MeterFunction, FunctionFacts>> = Object.fromEntries(Object.values(description.functions)
    .map((one) => [one.is, { conversionSeconds: one.conversionSeconds === undefined ? null : seconds(one.conversionSeconds),
      counts: one.counts, lowestRange: one.lowestRange }]))
  const rule = { kind: 'simple-acceptance', r: 0 } as const
  const context: BenchContext = { plan: withWalks(makePlan(board, preparationSteps(board, usualBenchKit, beside)), walks), meter, kit: usualBenchKit, rule, facts }
  const started = stamp({
    kind: 'started', board: { id: board.id, revision: board.revision, sha256: '0'.repeat(64) },
      sequence: { id: board.sequence.id, version: board.sequence.version },
    serialNumber: 'VD-0001', meter, kit: usualBenchKit, rule, prepare: sessionStepsDue(board, usualBenchKit, meter, 1.8e12),
      practice: { seed, faults }, ...(walks === undefined ? {} : { walks }), ...(beside === undefined ? {} : { beside }),
  }, 1, 0)
  let bench = openBench(context, rebuild([started]), seconds(0), 1.8e12)
  const refusals: string[] = []
  let presses = 0
  const take = (done: Conducted, at: number): void => {
    if (done.refused !== null) refusals.push(done.refused)
    const first = bench.run.events.length + 1
    bench = absorb(done.bench, done.events.map((body, n) => stamp(body, first + n, at)), seconds(at))
  }
  const practice = createPracticeMeter({ board, faults: parsed.faults, seed, description, startsAt: seconds(0) })
  const decode = lineDecoder(description)
  let hand = technicianAtRest(0)
  let lies = boardAsked(parsed.faults, bench)
  let at = 0
  let [looked, seen] = [bench, benchView(bench, null, null)]
  const asked = limitsRequestOf(bench)
  if (asked !== null) take(conduct(bench, { kind: 'limits-computed', answer: answerLimits(asked), at: seconds(0) }), 0)
  const places = placementsRequestOf(bench)
  if (places !== null) take(conduct(bench, { kind: 'placements-known', answer: placementsFor(places), at: seconds(0) }), 0)
  for (let turn = 0; at < most && bench.run.status !== 'ended'; turn += 1, at = turn * turnSeconds) {
    lies = underLeads(lies, boardAsked(parsed.faults, bench), inTheAir(practice.hand().tips))
    practice.setBoard(lies, seconds(at))
    for (const line of practice.bytesUntil(seconds(at))) {
      const reading = decode(line.bytes.slice(0, line.bytes.length - linesOf(description).delimiter.length / 2), line.at)
      if ('reject' in reading) throw new Error(`The practice meter wrote a line its own description rejects: ${reading.reject}`)
      take(conduct(bench, { kind: 'reading', reading }), at)
    }
    if (turn % turnsPerTick === 0) take(conduct(bench, { kind: 'tick', at: seconds(at), utcMs: 1.8e12 + at * 1000 }), at)
    if (isShownAnew(looked, bench)) seen = benchView(bench, null, null)
    looked = bench
    const moved = technician(hand, seen, liveView(bench, seconds(at)), at)
    hand = moved.technician
    for (const action of moved.actions) {
      if (action.kind === 'hand') practice.setHand(action.hand, seconds(at))
      else if (action.kind === 'skip') take(conduct(bench, { kind: 'skip', reason: action.reason, step: action.step, at: seconds(at) }), at)
      else { presses += 1; take(conduct(bench, { kind: 'press', press: action.key, at: seconds(at) }), at) }
    }
  }
  return { bench, seconds: at, refusals, presses }
}
