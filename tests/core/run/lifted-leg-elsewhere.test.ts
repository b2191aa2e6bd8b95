/** A leg that the repair log says is lifted is a place for a tip: chosen, read, recorded, diagnosed and computed as any placement elsewhere. */
import { describe, expect, it } from 'vitest'
import { placeOfTip, tipName } from '../../../src-core/board/lifted-leg'
import type { Part } from '../../../src-core/board/board-type'
import { placeOfPart } from '../../../src-core/board/part-spots'
import type { PartState } from '../../../src-core/board/part-state'
import { legPlacements } from '../../../src-core/circuit/diagnose/lifted-legs'
import { usualBenchKit, type Meter } from '../../../src-core/meter/instrument'
import { handMisfit } from '../../../src-core/practice/hand'
import { handViewOf } from '../../../src-core/practice/hand-view'
import { seconds } from '../../../src-core/quantity/units'
import { recordOfRun } from '../../../src-core/record/from-run'
import { pointsUsed } from '../../../src-core/record/points-used'
import { sectionsOf } from '../../../src-core/record/print/pages'
import { recordColumns, recordRows } from '../../../src-core/record/record-table'
import { testRecordContent } from '../../../src-core/record/schema'
import type { FollowsRun } from '../../../src-core/repair/entry'
import { runDetailOf } from '../../../src-core/run/detail'
import { createRunDiagnoser } from '../../../src-core/run/diagnose-run'
import { diagnosisRequest, diagnosisRequestOf } from '../../../src-core/run/diagnosis-request'
import { diagnosisView, type DiagnosisView } from '../../../src-core/run/diagnosis-view'
import { answerElsewhere, elsewhereRequestOf } from '../../../src-core/run/elsewhere-request'
import { eventInWords } from '../../../src-core/run/event-words'
import type { Chosen } from '../../../src-core/run/measure-elsewhere'
import { readingsOf } from '../../../src-core/run/readings-of'
import { benchView } from '../../../src-core/run/show'
import { tableColumns, tableRows } from '../../../src-core/run/value-table'
import { sealedRecord, sourcesMade } from '../../bench-tools/made-records'
import { checkedMeter, play, smallBoard, type Play } from './a-run'

/** C8 lies across R2, which keeps its capacitance from being read in circuit; its first pad has a test point of its own, the pads of R1 and D1 have not. */
const board = smallBoard({
  pictures: [{ id: 'top', file: 'top.svg', width: 320, height: 260 }],
  testPoints: [
    { id: 'J1.1', net: 'IN', picture: 'top', x: 60, y: 60, words: 'terminal 1' }, { id: 'C8.1', net: 'MID', picture: 'top', x: 200, y: 60, words: 'upper end of C8' },
    { id: 'C1.1', net: 'VCC', picture: 'top', x: 260, y: 60, words: 'plus of C1' }, { id: 'C1.2', net: 'GND', picture: 'top', x: 200, y: 160, words: 'minus of C1' },
  ],
  parts: [
    { ref: 'R1', kind: 'resistor', value: 220, tolerance: 0.05, pins: { 1: 'IN', 2: 'MID' } }, { ref: 'R2', kind: 'resistor', value: 47, tolerance: 0.05, pins: { 1: 'MID', 2: 'GND' } },
    { ref: 'D1', kind: 'diode', pins: { anode: 'GND', cathode: 'MID' } }, { ref: 'C8', kind: 'capacitor', value: 1e-7, tolerance: 0.1, pins: { 1: 'MID', 2: 'GND' } },
  ],
  sequence: { id: 'input', version: 1, steps: [{ kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'C8.1', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 }, parts: ['R1'] }] },
})
const partOf = (ref: string): Part => {
  const part = board.parts.find((one) => one.ref === ref)
  if (part === undefined) throw new Error(`the board has no ${ref}`)
  return part
}
const c8: PartState = { ref: 'C8', pin: '1', is: 'lifted' }
const r2: PartState = { ref: 'R2', pin: '1', is: 'lifted' }
const d1: PartState = { ref: 'D1', pin: 'cathode', is: 'lifted' }
const capacitanceMeter: Meter = { ...checkedMeter, air: [...checkedMeter.air, { function: 'capacitance', range: null, apart: { from: 0, to: 1e-10 }, joined: null }] }
const after = (state: PartState[]): FollowsRun => ({ run: '22222222-2222-4333-8444-555555555555', purpose: 'whole', state, repairs: [], coolUtc: null })

/** Behind the repair, proven, and at R1. */
const atR1 = (state: PartState[], meter: Meter = checkedMeter, of = board): Play => {
  const bench = play(of, meter, { kit: usualBenchKit, follows: after(state) })
  bench.confirm(); bench.open('dc-voltage')
  bench.confirm(); bench.confirm(); bench.lift('resistance')
  expect(bench.step()).toBe('r1')
  return bench
}
const ask = (bench: Play, red: string, black: string, what: Chosen['function'] = 'resistance') => bench.give({ kind: 'elsewhere', red, black, function: what, at: seconds(bench.at()) })
/** DC volts across C8 are read, as its charge asks for: 0 V, confirmed by a press. */
const seeEmpty = (bench: Play): Play => {
  expect(ask(bench, '~C8.1', 'C1.2', 'dc-voltage').refused).toBeNull()
  bench.open('dc-voltage')
  bench.lift('dc-voltage')
  expect(bench.step()).toBe('r1')
  return bench
}
const view = (bench: Play) => benchView(bench.bench(), null, null)
const offered = (bench: Play, id: string) => view(bench).elsewhere?.points.find((point) => point.id === id)
const functions = (bench: Play) => view(bench).elsewhere?.functions.map((one) => one.function)
const compute = (bench: Play): void => {
  const request = elsewhereRequestOf(bench.bench())
  if (request === null) throw new Error('nothing is asked for')
  bench.give({ kind: 'elsewhere-computed', answer: answerElsewhere(request), at: seconds(bench.at()) })
}
const computedValue = (bench: Play): unknown => { const event = bench.events().findLast(({ kind }) => kind === 'elsewhere-computed'); return event?.kind === 'elsewhere-computed' && 'value' in event.expected ? event.expected.value : event }
const diagnosed = (bench: Play): DiagnosisView => {
  const request = diagnosisRequestOf(bench.bench())
  if (request === null) throw new Error('nothing is to be diagnosed')
  return diagnosisView.parse(createRunDiagnoser().diagnose(diagnosisRequest.parse(request)))
}

describe('a lifted leg', () => {
  it('is offered behind the test points: beside the test point of its own pad, else at its part', () => {
    const bench = atR1([c8, d1])
    expect(view(bench).elsewhere?.points.map(({ id }) => id)).toEqual(['J1.1', 'C8.1', 'C1.1', 'C1.2', '~C8.1', '~D1.cathode'])
    const leg = offered(bench, '~C8.1')
    expect(leg).toMatchObject({ name: 'lifted pin 1 of C8', words: 'C8 alone, off its pad', shown: true })
    // Near the pad at (200, 60), and not on it: both are clicked, and both are marked.
    const away = (place: { x: number; y: number } | null | undefined): number => Math.hypot((place?.x ?? 0) - 200, (place?.y ?? 0) - 60)
    expect([away(leg) > 15, away(leg) < 30]).toEqual([true, true])
    expect(placeOfTip(board, '~C8.1', ['~C8.1'])).toEqual({ picture: 'top', x: leg?.x, y: leg?.y })
    expect(offered(bench, '~D1.cathode')).toMatchObject({ name: 'lifted cathode of D1', shown: true })
    expect(placeOfTip(board, '~D1.cathode', ['~C8.1', '~D1.cathode'])).toEqual(placeOfPart(board, partOf('D1')))
    // Where the file says where the part lies, half of the way to it from the pad.
    const stated = { ...board, parts: board.parts.map((part) => (part.ref === 'C8' ? { ...part, place: { picture: 'top', x: 200, y: 120 } } : part)) }
    expect(placeOfTip(stated, '~C8.1', [])).toEqual({ picture: 'top', x: 200, y: 90 })
    // No test point of the first picture tells where R1 is: it is looked for about a point of its nets, on that point's picture.
    const turned = { ...board, pictures: [...board.pictures, { id: 'bottom', file: 'bottom.svg', width: 320, height: 260 }], testPoints: board.testPoints.map((point) => ({ ...point, picture: 'bottom' })) }
    expect(placeOfTip(turned, '~R1.2', [])?.picture).toBe('bottom')
    expect([tipName(board, '~D1.cathode'), tipName(board, 'C8.1')]).toEqual(['lifted cathode of D1', 'C8.1'])
  })

  it('is none while it is on its pad, and none of a part that was taken out', () => {
    expect(offered(atR1([]), '~C8.1')).toBeUndefined()
    expect(ask(atR1([]), '~C8.1', 'C1.2').refused).toBe('There is no lifted pin 1 of C8 on this board now. Choose another place.')
    expect(offered(atR1([{ ref: 'C8', is: 'removed' }]), '~C8.1')).toBeUndefined()
    expect(ask(atR1([c8]), '~C8.1', '~C8.1').refused).toContain('Both leads on lifted pin 1 of C8')
  })

  it('has capacitance on the dial for a capacitor, where the air of this meter is known in it, and only across that capacitor', () => {
    expect([functions(atR1([d1], capacitanceMeter)), functions(atR1([c8])), functions(atR1([c8], capacitanceMeter))]).toEqual([
      ['resistance', 'diode'], ['resistance', 'diode', 'dc-voltage'], ['resistance', 'diode', 'capacitance', 'dc-voltage']])
    expect(ask(atR1([c8]), '~C8.1', 'C1.2', 'capacitance').refused).toContain('with its leads apart is not known')
    expect(ask(atR1([c8], capacitanceMeter), '~C8.1', 'J1.1', 'capacitance').refused).toContain('only across a capacitor with a leg lifted')
    expect(ask(seeEmpty(atR1([c8], capacitanceMeter)), '~C8.1', 'C1.2', 'capacitance').events).toMatchObject([{ kind: 'elsewhere', red: '~C8.1', function: 'capacitance' }])
  })

  it('is asked for by its name and marked at its place, with the charge of a capacitor said', () => {
    const bench = seeEmpty(atR1([c8]))
    expect(ask(bench, '~C8.1', 'C1.2').events).toEqual([{ kind: 'elsewhere', step: 'elsewhere:2', red: '~C8.1', black: 'C1.2', function: 'resistance', then: 'r1' }])
    const { step, spoken } = view(bench)
    expect([step?.title, step?.prompt.map(({ text }) => text).join(' ')]).toEqual(['Elsewhere lifted pin 1 of C8, C1.2', 'Red on the lifted pin 1 of C8, black on minus of C1'])
    const { x, y } = placeOfTip(board, '~C8.1', []) ?? { x: NaN, y: NaN }
    expect(step?.red).toEqual({ testPoint: '~C8.1', x, y, words: 'the lifted pin 1 of C8' })
    expect(step?.caution).toContain('C8 read 0 V DC since it was lifted')
    expect(spoken.flatMap(({ sentences }) => sentences).join(' ')).toContain('red lifted C 8 pin 1, black C 1 pin 2')
    const other = atR1([r2])
    ask(other, '~R2.1', 'C1.2')
    expect(view(other).step?.caution).toBeNull()
  })

  it('is recorded: event, strip, detail, table and record tell it by its name', () => {
    const bench = atR1([r2])
    ask(bench, '~R2.1', 'C1.2')
    // 0.1 Ω of leads are taken off.
    bench.touch('resistance', 47)
    expect(view(bench).steps.find(({ id }) => id === 'elsewhere:1')).toMatchObject({ title: 'Elsewhere lifted pin 1 of R2, C1.2', value: '46.9 Ω', verdict: 'not-judged' })
    expect(bench.events().flatMap((event) => (event.kind === 'elsewhere' ? [eventInWords(event, (id) => id)] : []))).toEqual(['Measured elsewhere before r1: red lifted pin 1 of R2, black C1.2, resistance.'])
    expect(runDetailOf(bench.state(), board).steps.find(({ id }) => id === 'elsewhere:1')).toMatchObject({ placement: 'red lifted pin 1 of R2, black C1.2', verdict: 'not-judged' })
    const row = tableRows({ state: bench.state(), board }).find((cells) => cells[tableColumns.indexOf('step')] === 'elsewhere:1') ?? []
    expect((['red', 'black', 'value'] as const).map((name) => row[tableColumns.indexOf(name)])).toEqual(['lifted pin 1 of R2', 'C1.2', 46.9])

    bench.give({ kind: 'end', reason: 'R2 is measured alone', at: seconds(bench.at()) })
    const record = testRecordContent.parse(recordOfRun(sourcesMade({}, { state: bench.state(), board })))
    const step = record.steps.find(({ id }) => id === 'elsewhere:1')
    const place = placeOfPart(board, partOf('R2')) ?? {}
    expect(step?.placement).toMatchObject({ red: { point: 'lifted pin 1 of R2', words: '', ...place }, black: { point: 'C1.2', words: 'minus of C1' } })
    expect(step?.points).toMatchObject([{ red: 'lifted pin 1 of R2', place }])
    expect(pointsUsed(record.steps).map(({ point }) => point)).toContain('lifted pin 1 of R2')
    expect(JSON.stringify(sectionsOf([sealedRecord(record)], { budgets: true }))).toContain('Elsewhere lifted pin 1 of R2, C1.2')
    const cells = recordRows([sealedRecord(record)]).find((each) => each[recordColumns.findIndex((name) => name === 'step')] === 'elsewhere:1') ?? []
    expect(cells[recordColumns.findIndex((name) => name === 'red')]).toBe('lifted pin 1 of R2')
    // The run read back from its events says the same.
    bench.kill()
    expect(runDetailOf(bench.state(), board).steps.find(({ id }) => id === 'elsewhere:1')?.placement).toBe('red lifted pin 1 of R2, black C1.2')
  })

  it('is marked where it is chosen, beside another that is lifted at the same spot: step, hand and record', () => {
    // All three across the same two test points: their places are guessed alike.
    const twins = smallBoard({ pictures: board.pictures, testPoints: board.testPoints, sequence: board.sequence,
      parts: ['R1', 'R3', 'R4'].map((ref) => ({ ref, kind: 'resistor', value: 220, tolerance: 0.05, pins: { 1: 'IN', 2: 'MID' } })) })
    const bench = atR1([{ ref: 'R3', pin: '1', is: 'lifted' }, { ref: 'R4', pin: '1', is: 'lifted' }], checkedMeter, twins)
    const spot = (id: string) => { const { x, y } = offered(bench, id) ?? { x: NaN, y: NaN }; return { x, y } }
    const [first, second] = [spot('~R3.1'), spot('~R4.1')]
    expect(Math.hypot(first.x - second.x, first.y - second.y)).toBeGreaterThan(15)
    ask(bench, '~R4.1', '~R3.1')
    const { step } = view(bench)
    expect([step?.red, step?.black]).toMatchObject([second, first])
    const { places } = handViewOf(twins, step, { tips: 'lifted', function: 'resistance' }, ['resistance'])
    expect(places.filter(({ id }) => id.startsWith('~'))).toMatchObject([{ id: '~R4.1', ...second }, { id: '~R3.1', ...first }])
    bench.touch('resistance', 440)
    bench.give({ kind: 'end', reason: 'measured', at: seconds(bench.at()) })
    const told = recordOfRun(sourcesMade({}, { state: bench.state(), board: twins })).steps.find(({ id }) => id === 'elsewhere:1')
    expect([told?.placement, told?.points]).toMatchObject([{ red: second, black: first }, [{ place: second }]])
  })

  it('is told by the name that the board gives it, where a dot is in its designator', () => {
    const dotted = smallBoard({ pictures: board.pictures, testPoints: board.testPoints, sequence: board.sequence,
      parts: [{ ref: 'R1', kind: 'resistor', value: 220, tolerance: 0.05, pins: { 1: 'IN', 2: 'MID' } }, { ref: 'R7.A', kind: 'resistor', value: 220, tolerance: 0.05, pins: { 3: 'IN', 4: 'MID' } }] })
    const bench = atR1([{ ref: 'R7.A', pin: '3', is: 'lifted' }], checkedMeter, dotted)
    expect(offered(bench, '~R7.A.3')?.name).toBe('lifted pin 3 of R7.A')
    ask(bench, '~R7.A.3', 'C8.1')
    expect(view(bench).step?.prompt.map(({ text }) => text).join(' ')).toContain('Red on the lifted pin 3 of R7.A')
    bench.touch('resistance', 220)
    const row = tableRows({ state: bench.state(), board: dotted }).find((cells) => cells[tableColumns.indexOf('step')] === 'elsewhere:1') ?? []
    expect(row[tableColumns.indexOf('red')]).toBe('lifted pin 3 of R7.A')
    const detail = runDetailOf(bench.state(), dotted)
    expect([detail.steps.find(({ id }) => id === 'elsewhere:1')?.placement, detail.events.some(({ words }) => words.includes('red lifted pin 3 of R7.A'))]).toEqual(['red lifted pin 3 of R7.A, black C8.1', true])
    bench.give({ kind: 'end', reason: 'measured', at: seconds(bench.at()) })
    const told = recordOfRun(sourcesMade({}, { state: bench.state(), board: dotted })).steps.find(({ id }) => id === 'elsewhere:1')
    expect([told?.title, told?.placement, told?.points]).toMatchObject(['Elsewhere lifted pin 3 of R7.A, C8.1', { red: { point: 'lifted pin 3 of R7.A' } }, [{ red: 'lifted pin 3 of R7.A' }]])
  })

  it('is where a good part is computed by itself, whatever lies beside it on the board', () => {
    const alone = atR1([r2])
    ask(alone, '~R2.1', 'C1.2')
    compute(alone)
    // The value of the board file, 47 Ω; between its pads a junction lies beside it.
    expect(computedValue(alone)).toBeCloseTo(47, 6)
    const farads = seeEmpty(atR1([c8], capacitanceMeter))
    ask(farads, '~C8.1', 'C1.2', 'capacitance')
    compute(farads)
    expect(Number(computedValue(farads)) / 1e-7).toBeCloseTo(1, 6)
    expect(view(farads).step?.limitsAre).toBe('computed')
    const ohms = seeEmpty(atR1([c8]))
    ask(ohms, '~C8.1', 'C1.2')
    compute(ohms)
    // Nothing conducts through a capacitor alone; the 47 Ω beside it are off.
    expect([computedValue(ohms), view(ohms).step?.limits]).toEqual(['overload', 'open'])
  })

  it('is taken back by ←, before its value and after it: nothing of it stands', () => {
    const bench = atR1([r2])
    const back = (): void => { bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) }) }
    ask(bench, '~R2.1', 'C1.2')
    bench.touch('resistance', 47)
    expect(readingsOf(bench.state(), bench.bench().context.plan).readings).toHaveLength(1)
    back()
    expect([bench.step(), readingsOf(bench.state(), bench.bench().context.plan).readings]).toEqual(['elsewhere:1', []])
    back()
    expect([bench.step(), view(bench).steps.some(({ id }) => id === 'elsewhere:1')]).toEqual(['r1', false])
  })

  it('is a reading of the diagnosis at that leg, with the board as it is', () => {
    const bench = seeEmpty(atR1([c8]))
    ask(bench, '~C8.1', 'C1.2')
    bench.touch('resistance', 20_000)
    const file = readingsOf(bench.state(), bench.bench().context.plan)
    expect(file).toMatchObject({ state: [c8], readings: [{ red: '~C8.1', black: 'C1.2', function: 'resistance', value: 20_000, evidence: 'steady' }] })
    expect(diagnosed(bench).parts.find(({ ref }) => ref === 'C8')).toMatchObject({ report: 'faulty', says: 'C8 leaks (about 20 kΩ).' })
  })

  it('is proposed by the diagnosis from the first step on, also where nothing failed, and no more once it was read', () => {
    const alone = (bench: Play): DiagnosisView['next'] => diagnosed(bench).next.filter((one) => one.alone !== undefined)
    const bench = atR1([c8])
    expect(alone(bench)).toMatchObject([{
      words: 'red on the lifted pin 1 of C8, black on minus of C1, dial at resistance', why: expect.stringMatching(/C8 .* of what is still open, for an effort of/) as string,
      step: null, action: 'measure', alone: { red: '~C8.1', black: 'C1.2', function: 'resistance' },
    }])
    expect(alone(atR1([c8], capacitanceMeter)).map((one) => one.alone?.function).sort()).toEqual(['capacitance', 'resistance'])
    // Its other end is touched where the file has a test point on it, though another of that net comes first.
    const closer = { ...board, testPoints: [...board.testPoints, { id: 'C8.2', net: 'GND', picture: 'top', x: 200, y: 130, words: 'lower end of C8' }] }
    expect(legPlacements(closer, [c8], false).map(({ placement }) => placement)).toEqual([{ red: '~C8.1', black: 'C8.2', function: 'resistance' }])
    ask(seeEmpty(bench), '~C8.1', 'C1.2')
    bench.open('resistance')
    expect([bench.step(), alone(bench)]).toEqual(['r1', []])
    expect(diagnosisRequestOf(atR1([]).bench())).toBeNull()
  })
})

describe('the hand of manual practice', () => {
  it('goes to a leg that is asked for, and to none that the board does not have', () => {
    const bench = atR1([r2])
    ask(bench, '~R2.1', 'C1.2')
    const hand = { tips: { leads: { red: '~R2.1', black: 'C1.2' } }, function: 'resistance' as const }
    expect([handMisfit(board, ['resistance'], hand), handMisfit(board, ['resistance'], { ...hand, tips: { leads: { red: '~R9.1', black: 'C1.2' } } })]).toEqual([null, 'Soil probe has no lifted pin 1 of R9; no lead can go there.'])
    const shown = handViewOf(board, view(bench).step, { tips: 'lifted', function: 'resistance' }, ['resistance'])
    expect([shown.asked, shown.places.map(({ id }) => id)]).toEqual([hand, ['J1.1', 'C8.1', 'C1.1', 'C1.2', '~R2.1']])
  })

  it('goes to a leg on a board without a picture, as it goes to the test points of such a board', () => {
    const bare = smallBoard({ pictures: [], testPoints: board.testPoints, parts: board.parts, sequence: board.sequence })
    const bench = atR1([r2], checkedMeter, bare)
    ask(bench, '~R2.1', 'C1.2')
    const { step } = view(bench)
    expect(step?.red).toMatchObject({ testPoint: '~R2.1', words: 'the lifted pin 1 of R2' })
    const shown = handViewOf(bare, step, { tips: 'lifted', function: 'resistance' }, ['resistance'])
    expect([shown.asked, shown.keys.map(({ action }) => action)]).toEqual([{ tips: { leads: { red: '~R2.1', black: 'C1.2' } }, function: 'resistance' }, expect.arrayContaining(['as-asked'])])
  })
})
