/** What a record says of its meter: as it was when the run started, whatever is entered later. */
import { describe, expect, it } from 'vitest'
import { runDetailOf } from '../../../src-core/run/detail'
import { runDetail } from '../../../src-core/run/detail-view'
import { parseRunEvent } from '../../../src-core/run/event'
import { meterFactsOf } from '../../../src-core/run/meter-facts'
import { rebuild } from '../../../src-core/run/state'
import { startedBody, startWarnings } from '../../../src-core/run/started'
import { meterByEye } from '../../../src-core/meter/by-eye'
import { blankRegisterEntry, type Certificate } from '../../../src-core/meter/register'
import { checkOf, goodPair } from '../metrology/standards'
import { checkedMeter, play, smallBoard, startMs } from './a-run'

const certificate: Certificate = {
  number: 'C-0815', laboratory: 'Valley Calibration', accreditation: 'VC 17', calibrated: '2024-01-10', due: '2025-01-10',
  asFound: 'within specification', asLeft: 'within specification', points: [],
}
const meter = { ...checkedMeter, register: { ...blankRegisterEntry, kind: 'hand-held multimeter', serialNumber: 'HM-20417', assetNumber: 'A-0012', certificate } }
const opening = { sha256: '0'.repeat(64), serialNumber: 'S-1', hidden: null, identity: 'confirmed', utcMs: startMs } as const

describe('a record', () => {
  it('names meter, serial number and certificate, and says that it was overdue when the run started', () => {
    const state = play(smallBoard(), meter).state()
    const detail = runDetailOf(state, smallBoard())
    expect(runDetail.parse(detail)).toEqual(detail)
    expect(detail.meterFacts).toEqual([
      { name: 'Kind of meter', words: 'hand-held multimeter', warn: false }, { name: 'Meter serial number', words: 'HM-20417', warn: false },
      { name: 'Asset number', words: 'A-0012', warn: false },
      // Runs made before it was kept, and runs of a meter nobody confirmed.
      { name: 'Which meter it was', words: 'assumed, not confirmed when this run started', warn: false },
      { name: 'Certificate', words: 'C-0815 of 2024-01-10, Valley Calibration, VC 17', warn: false },
      { name: 'Calibration due', words: '2025-01-10, overdue when this run started', warn: true },
    ])
  })
  it('of a calibration in date says when it is due, and how sure it was which meter it was', () => {
    const bench = play(smallBoard(), { ...meter, register: { ...meter.register, certificate: { ...certificate, calibrated: '2026-01-10', due: '2027-01-10' } } })
    const [first] = bench.events()
    if (first?.kind !== 'started') throw new Error('no start')
    const facts = meterFactsOf(rebuild([{ ...first, identity: 'proven' }]))
    expect(facts).toContainEqual({ name: 'Calibration due', words: '2027-01-10', warn: false })
    expect(facts).toContainEqual({ name: 'Which meter it was', words: 'proven by its own reply', warn: false })
  })
  it('says that it is under review where a check failed after it', () => {
    const state = play(smallBoard(), meter).state()
    expect(runDetailOf(state, smallBoard(), 'sought', true).meterFacts).toContainEqual({ name: 'Under review', words: expect.stringMatching(/check of this meter failed/), warn: true })
    expect(runDetailOf(state, smallBoard()).meterFacts.map(({ name }) => name)).not.toContain('Under review')
  })
  it('made before there was a register says that nothing is known', () => {
    const [first] = play().events()
    const old = JSON.parse(JSON.stringify(first)) as { meter: Record<string, unknown> }
    delete old.meter.register
    const state = rebuild([parseRunEvent(old)])
    expect(meterFactsOf(state).at(-1)).toMatchObject({ name: 'Calibration', words: expect.stringMatching(/No calibration certificate/) })
  })
})

describe('the start of a run', () => {
  const { context } = play(smallBoard(), meter).bench()
  it('keeps how sure it was, and says that the calibration is overdue', () => {
    const body = startedBody(context, opening)
    expect(body).toMatchObject({ identity: 'confirmed', meter: { id: 'bench-meter' } })
    expect(startWarnings(body, new Date(startMs).toISOString(), () => [])).toEqual([expect.stringMatching(/was due on 2025-01-10/)])
  })
  it('says that a check failed, until a good one has answered it', () => {
    const body = startedBody(context, opening)
    const warned = (checks: ReturnType<typeof goodPair>): string[] => startWarnings(body, new Date(startMs).toISOString(), () => checks).slice(1)
    const failed = [...goodPair('2026-11-29T08:00:00.000Z'), checkOf('resistor', 480, '2026-11-29T10:00:00.000Z')]
    expect(warned(failed)).toEqual(['Check resistor CR-1 failed on 2026-11-29: values of this meter are not traceable until a good check.'])
    expect(warned([...failed, ...goodPair('2026-11-29T11:00:00.000Z')])).toEqual([])
  })
  it('says nothing of a meter in practice or by eye, which have no identity to be sure of', () => {
    const practised = startedBody(context, { ...opening, hidden: { seed: 1, faults: [] } })
    const byEye = startedBody({ ...context, meter: meterByEye }, opening)
    for (const body of [practised, byEye]) {
      expect(body.identity).toBeUndefined()
      expect(startWarnings(body, new Date(startMs).toISOString(), () => [])).toEqual([])
    }
  })
})
