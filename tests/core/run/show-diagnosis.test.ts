/** A diagnosis in words, places and marks; the readings come from the solver of the same circuit, so only what is said of them is checked here. */
import { describe, expect, it } from 'vitest'
import { networkOf } from '../../../src-core/circuit/network'
import { readsAcross } from '../../../src-core/circuit/expected-reading'
import type { Fault } from '../../../src-core/circuit/faults'
import type { FileReading } from '../../../src-core/circuit/readings-file'
import { createRunDiagnoser } from '../../../src-core/run/diagnose-run'
import type { FaultHistory } from '../../../src-core/shop/fault-history'
import { conclusionsOf, diagnosisView } from '../../../src-core/run/diagnosis-view'
import { sourcesOf } from '../../../src-core/run/diagnosis-request'
import { chanceInWords, viewOfDiagnosis } from '../../../src-core/run/show-diagnosis'
import { sampleBoard } from '../circuit/sample'
import { checkedMeter } from './a-run'

const board = sampleBoard()
const r4: Fault = { ref: 'R4', pin: null, kind: 'open' }

/** What the steps of the sequence read with these faults. */
const readingsWith = (faults: Fault[], steps: readonly string[]): FileReading[] => {
  const network = networkOf(board, faults)
  const net = (id: string): string => board.testPoints.find((point) => point.id === id)?.net ?? ''
  return board.sequence.steps.flatMap((step): FileReading[] => {
    if (step.kind !== 'measure' || !steps.includes(step.id)) return []
    const reading = readsAcross(network, net(step.red), net(step.black), step.function)
    if (!reading.ok) throw new Error(reading.because)
    return [{ red: step.red, black: step.black, function: step.function, value: reading.value, evidence: reading.value === 'overload' ? 'proven' : 'steady' }]
  })
}

const made = ['supply-pair', 'd2-forward', 'r4', 'r3', 'r7', 'd1']
const open = board.sequence.steps.flatMap(({ id, kind }) => (kind === 'measure' && !made.includes(id) ? [id] : []))
const request = (readings: FileReading[], steps: string[] | null) => ({
  key: '', run: 'a', after: 7, sha256: 'x', board, open: steps, history: null as FaultHistory | null,
  readings: { schema: 'probewright/readings/1' as const, board: { id: board.id, revision: board.revision }, state: [], readings },
})

describe('the view of a diagnosis', () => {
  const { diagnose } = createRunDiagnoser()
  const view = diagnose(request(readingsWith([r4], made), open))

  it('is what the contract carries', () => {
    expect(diagnosisView.parse(view)).toEqual(view)
    expect([view.run, view.after, view.readings, view.problem]).toEqual(['a', 7, made.length, null])
  })

  it('names a lifted leg by its part, and says that a capacitor is discharged before it is measured alone', () => {
    const { key: _key, sha256: _file, board: _board, history: _history, ...asked } = request([], null)
    const next = [
      { action: { kind: 'lift' as const, ref: 'C8', pin: '1' }, bits: 1, effort: 10, why: 'Why.' },
      { action: { kind: 'measure' as const, placement: { red: '~C8.1', black: 'C8.2', function: 'capacitance' as const } }, bits: 1, effort: 1, why: 'Why.' },
    ]
    const { next: [lift, measure] } = viewOfDiagnosis(board, { parts: [], classes: [], notes: [], next }, { ...asked, open: [] })
    expect(lift?.words).toBe('discharge C8 through a resistor, check that it is empty, then lift pin 1 of C8 and measure C8 alone: its capacitance, and its resistance for a leak')
    expect(measure?.words).toMatch(/^red on the lifted pin 1 of C8, black on .*, dial at capacitance$/)
  })

  it('says what reads in the same words once, with the sum of its chances', () => {
    const { key: _key, sha256: _file, board: _board, history: _history, ...asked } = request([], null)
    const r3: Fault = { ref: 'R3', pin: null, kind: 'open' }
    const classes = [{ sets: [[r3]], probability: 0.3 }, { sets: [[r4]], probability: 0.28 }, { sets: [[r4], [r3]], probability: 0.2 }, { sets: [[r3]], probability: 0.01 }]
    const { likely } = viewOfDiagnosis(board, { parts: [], classes, notes: [], next: [] }, { ...asked, open: [] })
    // 0.3 + 0.28 + 0.2 + 0.01.
    expect(likely).toEqual([{ number: 1, words: 'R3 or R4: one of them is open; in-circuit readings cannot say which', chance: '79 %', alike: ['R3 is open', 'R4 is open'] }])
  })

  it('names all that read the same in one sentence, and the first three of many', () => {
    const { key: _key, sha256: _file, board: _board, history: _history, ...asked } = request([], null)
    const headline = (...sets: Fault[][]) => viewOfDiagnosis(board, { parts: [], classes: [{ sets, probability: 0.9 }], notes: [], next: [] }, { ...asked, open: [] }).likely.map(({ words }) => words)
    const opened = ['R3', 'R4', 'R5', 'R6', 'R7'].map((ref): Fault => ({ ref, pin: null, kind: 'open' }))
    const [r3 = r4, , r5 = r4] = opened
    expect(headline([r3], [r4], [r5])).toEqual(['R3, R4 or R5: one of them is open; in-circuit readings cannot say which'])
    expect(headline(...opened.map((one) => [one]))).toEqual(['R3, R4, R5 or 2 more: one of them is open; in-circuit readings cannot say which'])
    expect(headline([r3], [{ ref: 'D5', pin: null, kind: 'reversed' }])).toEqual(['R3 is open; or D5 is fitted the wrong way round: in-circuit readings cannot say which'])
    const { notes } = viewOfDiagnosis(board, { parts: [], classes: [{ sets: [[r3]], probability: 0.6 }, { sets: [[r3, r4]], probability: 0.5 }], notes: [], next: [] }, { ...asked, open: [] })
    expect(notes).toEqual(['The likely faults come to more than 100 %, because more than one of them may be there at once.'])
    // One that hides beside the likeliest is no other explanation.
    expect(headline([r3], [r3, r4])).toEqual(['R3 is open'])
  })

  it('of a rail that three parts may short names all three, lifts the leg on the rail, the two-legged part first, and is sure of the group only', () => {
    const all = board.sequence.steps.flatMap(({ id, kind }) => (kind === 'measure' ? [id] : []))
    const rail = createRunDiagnoser().diagnose(request(readingsWith([{ ref: 'C9', pin: null, kind: 'short', ohms: 0.291 }], all), []))
    expect(rail.likely.map(({ alike }) => [...alike].sort())).toEqual([['C9 is shorted', 'U1, at pin OUT, is shorted', 'U2, at pin VCC, is shorted']])
    const [headline] = rail.likely
    expect(headline?.words.split(':')[0]?.split(/, | or /).sort()).toEqual(['C9', 'U1', 'U2'])
    expect(rail.next.map(({ words }) => /lift (.*) and measure (\S+) alone/.exec(words)?.[1])).toEqual(['pin 1 of C9', 'pin OUT of U1', 'pin VCC of U2'])
    expect(rail.enough).toBe(`Sure enough of the group (${headline?.chance ?? ''}): ${headline?.words ?? ''}. Lifting a leg tells which; measuring more in circuit hardly would.`)
    expect(conclusionsOf(rail)[0]).toBe(`${headline?.words ?? ''} (${headline?.chance ?? ''}).`)
    expect(rail.notes.filter((note) => note.startsWith('One of'))).toEqual(['One of C9, U1 and U2 is faulty, in-circuit readings cannot say which; lift C9 at one leg and measure it alone.'])
    const shares = ['C9', 'U1', 'U2'].map((ref) => Number(rail.parts.find((part) => part.ref === ref)?.chance.replace(/\D/g, '')))
    expect([shares.reduce((sum, one) => sum + one, 0) > 100, rail.notes.some((note) => note.endsWith('come to more than 100 %, because more than one of them may be faulty.'))]).toEqual([true, true])
  })

  it('puts the part that is called faulty first where another, less likely, reads the same', () => {
    const all = board.sequence.steps.flatMap(({ id, kind }) => (kind === 'measure' ? [id] : []))
    const leaks = createRunDiagnoser().diagnose(request(readingsWith([{ ref: 'D5', pin: null, kind: 'leaky', ohms: 400 }], all), []))
    expect(leaks.parts[0]).toMatchObject({ ref: 'D5', report: 'faulty' })
    expect(leaks.likely[0]?.words).toMatch(/^D5 leaks \(about [^)]+\); less likely U2, at pin B, leaks \(about [^)]+\), which reads the same$/)
  })

  it('gives a state one share, in the list and in the sentence that says why', () => {
    const shares = new Map(view.likely.map(({ words, chance }) => [words, chance]))
    const named = view.next.flatMap(({ why }) => [...why.matchAll(/[Ii]f ([^;]+?) \(((?:over |under )?\d+ %)\)/g)].map(([, words = '', chance = '']) => [words, chance] as const)).filter(([words]) => shares.has(words))
    expect(named.length).toBeGreaterThan(0)
    expect(named.map(([words]) => shares.get(words))).toEqual(named.map(([, chance]) => chance))
  })

  it('offers to replace what cannot be told only beside a faulty part across it', () => {
    const { key: _key, sha256: _file, board: _board, history: _history, ...asked } = request([], null)
    const part = (ref: string, report: 'faulty' | 'masked') => ({ ref, report, probability: 0.5, kinds: [], maskedBy: [], unmask: { kind: 'replace' as const, ref }, witness: null })
    const says = (...parts: ReturnType<typeof part>[]) => viewOfDiagnosis(board, { parts, classes: [], notes: [], next: [] }, { ...asked, open: [] }).parts.find(({ ref }) => ref === 'C8')?.says
    expect(says(part('C8', 'masked'), part('R4', 'faulty'))).toBe('No reading in circuit shows its state. It cannot be told in circuit.')
    expect(says(part('C8', 'masked'), part('D3', 'faulty'))).toBe('No reading in circuit shows its state. It cannot be told in circuit. D3 across it is faulty: replace C8 as a precaution.')
  })

  it('says figures that differ by less than is known of them once, those of the likeliest; others apart', () => {
    const { key: _key, sha256: _file, board: _board, history: _history, ...asked } = request([], null)
    const drifted = (factor: number, spread: number): Fault => ({ ref: 'R3', pin: null, kind: 'drifted', factor, spread })
    const classes = [{ sets: [[drifted(1.58, 0.03)], [r4], [drifted(1.6, 0.031)], [r4]], probability: 0.5 }, { sets: [[drifted(1.6, 0.031)]], probability: 0.2 },
      { sets: [[r4, drifted(1.6, 0.03)]], probability: 0.12 }, { sets: [[drifted(1.58, 0.03), r4]], probability: 0.04 }, { sets: [[drifted(2, 0.03)]], probability: 0.1 }]
    expect(viewOfDiagnosis(board, { parts: [], classes, notes: [], next: [] }, { ...asked, open: [] }).likely).toEqual([
      { number: 1, words: 'R3 has drifted to about 1.58 times its value; or R4 is open: in-circuit readings cannot say which', chance: '70 %', alike: ['R3 has drifted to about 1.58 times its value', 'R4 is open'] },
      { number: 2, words: 'R4 is open and R3 has drifted to about 1.6 times its value', chance: '16 %', alike: [] },
      { number: 3, words: 'R3 has drifted to about 2 times its value', chance: '10 %', alike: [] },
    ])
  })

  it('names the faulty part first, with its fault, its chance and its place, and never a part twice', () => {
    const [first] = view.parts
    expect(first).toMatchObject({ ref: 'R4', report: 'faulty', says: 'R4 is open.' })
    expect(Number(first?.chance.replace(/\D/g, ''))).toBeGreaterThan(90)
    expect(first?.spot).not.toBeNull()
    expect(new Set(view.parts.map(({ ref }) => ref)).size).toBe(view.parts.length)
    expect(view.parts.map(({ ref }) => ref)).not.toContain('J1')
    expect(view.notes.join(' ')).toContain('J1')
  })

  it('says that it is sure enough once the likeliest class holds 95 % (circuit.md), and then proposes nothing more to measure; before that it does not', () => {
    const all = board.sequence.steps.flatMap(({ id, kind }) => (kind === 'measure' ? [id] : []))
    const sure = createRunDiagnoser().diagnose(request(readingsWith([r4], all), []))
    const share = (of: typeof view): number => Number(/(\d+) %/.exec(of.likely[0]?.chance ?? '')?.[1])
    expect(share(sure)).toBeGreaterThanOrEqual(95)
    expect(sure.enough).toMatch(/^Sure enough: R4 is open.*, (over )?9\d %\. Measuring more in circuit would hardly change that\.$/)
    expect(sure.next.filter(({ action }) => action === 'measure')).toEqual([])
    const early = createRunDiagnoser().diagnose(request(readingsWith([r4], ['r4']), open))
    expect(share(early)).toBeLessThan(95)
    expect(early.enough).toBeNull()
    expect(early.next.some(({ action }) => action === 'measure')).toBe(true)
    expect(createRunDiagnoser().diagnose(request([], open)).enough).toBeNull()
  })
  it('says what masks a part and what would tell', () => {
    const masked = view.parts.filter(({ report }) => report === 'masked')
    expect(masked.map(({ ref }) => ref)).toContain('D1')
    for (const { says } of masked) expect(says).toMatch(/^(Hidden by|No reading in circuit).*(lift|[Rr]epair|cannot be told in circuit)/)
  })

  it('proposes only steps that are open, by their titles, each with its reason in numbers', () => {
    const measured = view.next.filter(({ action }) => action === 'measure')
    expect(measured.length).toBeGreaterThan(0)
    for (const { step, words, why } of measured) {
      expect(open).toContain(step)
      expect(words).toBe(board.sequence.steps.find(({ id }) => id === step)?.title)
      expect(why).toMatch(/^If [^;]+ \((over |under )?\d+ %\), this reads [^;]+; if [^;]+ \((over |under )?\d+ %\), [^;]+: expected to settle (over |under )?\d+ % of what is still open, for an effort of \d+(\.\d)? touch(es)?\.$/)
    }
  })

  it('proposes any placement once the run has ended, in the words of its test points', () => {
    const free = diagnose(request(readingsWith([r4], made), null)).next.filter(({ action }) => action === 'measure')
    expect(free[0]).toMatchObject({ step: null, words: expect.stringMatching(/^red on .*, black on .*, dial at (resistance|diode test)$/) })
  })

  it('marks on the scale of a step where a good board reads and where the likely fault does', () => {
    const marks = view.expected.find(({ step }) => step === 'r4')?.marks ?? []
    expect(marks.map(({ who, words }) => [who, words])).toEqual([['good', '220 Ω'], [expect.stringMatching(/^1/), 'open']])
    expect((marks[0]?.at ?? 1) < (marks[1]?.at ?? 0)).toBe(true)
    expect(view.likely[0]).toMatchObject({ number: 1, words: 'R4 is open' })
  })
})

describe('a diagnosis told of the boards that failed here before', () => {
  it('says how much they count for, and holds the parts that failed then for likelier', () => {
    const { diagnose } = createRunDiagnoser()
    const first = request(readingsWith([], ['supply-pair']), open)
    const chanceOf = (history: FaultHistory | null): number => Number(diagnose({ ...first, history }).parts.find(({ ref }) => ref === 'D5')?.chance.replace(/\D/g, '') ?? NaN)
    expect(chanceOf({ byNumber: [120], faults: { D5: 90, T1: 30 } })).toBeGreaterThan(chanceOf(null) + 20)
    expect(diagnose({ ...first, history: { byNumber: [120], faults: { D5: 90, T1: 30 } } }).notes.at(-1)).toContain('rests to 75 % on the 120 boards of this type that failed here')
    expect(diagnose(first).notes.join(' ')).not.toContain('failed here')
  })
})

describe('what was made ready for a board', () => {
  it('serves another sequence on it, and not a board whose test points are others', () => {
    const { diagnose } = createRunDiagnoser()
    const readings = readingsWith([r4], ['r4'])
    diagnose(request(readings, null))
    const renamed = (id: string): string => `${id}.x`
    const moved = { ...board, testPoints: board.testPoints.map((point) => ({ ...point, id: renamed(point.id) })), energyStores: board.energyStores.map((store) => ({ ...store, red: renamed(store.red), black: renamed(store.black) })) }
    const there = { ...request(readings.map((one) => ({ ...one, red: renamed(one.red), black: renamed(one.black) })), null), board: moved }
    expect(diagnose(there).notes.join(' ')).not.toContain('left out')
  })
})

describe('words and sources of a diagnosis', () => {
  it('never says that something is certain', () => {
    expect([0, 0.001, 0.02, 0.5, 0.994, 0.996, 1].map(chanceInWords)).toEqual(['under 1 %', 'under 1 %', '2 %', '50 %', '99 %', 'over 99 %', 'over 99 %'])
  })

  it('takes the source of a function from the register where the meter has one, else none', () => {
    const source = { function: 'diode' as const, range: null, volts: 2.8, ohms: 2000, amperes: null, plus: 'red' as const, basis: 'entered' as const }
    expect(sourcesOf(checkedMeter)).toEqual({})
    expect(sourcesOf({ register: { ...checkedMeter.register, sources: [source] } })).toEqual({ diode: { volts: 2.8, ohms: 2000, amperes: 2.8 / 2000, plus: 'red' } })
    expect(sourcesOf({ register: { ...checkedMeter.register, sources: [source, { ...source, range: 2 }] } })).toEqual({})
  })
})
