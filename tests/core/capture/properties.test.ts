/** What holds for any stream of readings, presses and ticks, however the hand and the meter behave. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { capture, startCapture, type CaptureState } from '../../../src-core/capture/capture'
import type { CapturedValue, CaptureInput, CaptureTask } from '../../../src-core/capture/task'
import type { MeterFlag, Reading } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import { figureIn, frame, ohmsRange, openStep, r1, zeroVolts, voltsRange, type Look } from './streams'
import { drawnCount } from '../../bench-tools/sampled'

type Stretch = {
  shows: 'apart' | 'value' | 'other-function' | 'nothing'
  /** In a sixth of full scale of the lowest range; noise and drift in counts, drift per conversion. */
  value: number
  noise: number
  drift: number
  conversions: number
  flags: MeterFlag[]
  range: 'lowest' | 'above'
  press: 'confirm' | 'again' | null
}
type Stream = { stretches: Stretch[]; rate: number; frames: number; described: boolean; seed: number }

const stretch: fc.Arbitrary<Stretch> = fc.record({
  shows: fc.constantFrom<Stretch['shows'][]>(
    'apart', 'apart', 'apart', 'apart', 'value', 'value', 'value', 'value', 'value', 'other-function', 'nothing',
  ),
  value: fc.oneof(fc.constant(0), fc.constant(2.2), fc.double({ min: -0.01, max: 5.5, noNaN: true })),
  noise: fc.constantFrom(0, 0, 0.5, 1, 4),
  drift: fc.constantFrom(0, 0, 0, 1, -3),
  conversions: fc.integer({ min: 1, max: 25 }),
  flags: fc.constantFrom<MeterFlag[][]>([], [], [], [], [], [], [], ['hold'], ['manual-range'], ['peak']),
  range: fc.constantFrom<Stretch['range'][]>('lowest', 'lowest', 'lowest', 'above'),
  press: fc.constantFrom<Stretch['press'][]>(null, null, 'confirm', 'again'),
})
const streamOf: fc.Arbitrary<Stream> = fc.record({
  stretches: fc.array(stretch, { minLength: 1, maxLength: 14 }), rate: fc.constantFrom(2, 3, 5, 10), frames: fc.constantFrom(1, 1, 4),
  described: fc.boolean(), seed: fc.integer({ min: 1, max: 1e6 }),
})

type Kind = 'ohms' | 'open' | 'volts'
const kind = fc.constantFrom<Kind[]>('ohms', 'open', 'volts')
const kinds: Record<Kind, { look: Look; task: Partial<CaptureTask> }> = {
  ohms: { look: ohmsRange, task: { limits: { between: [0, 1000] } } },
  open: { look: ohmsRange, task: openStep },
  volts: { look: voltsRange, task: zeroVolts },
}
const taskOf = (name: Kind, { described, rate }: Stream): CaptureTask =>
  ({ ...r1, ...kinds[name].task, conversionSeconds: described ? seconds(1 / rate) : null })

const airIn = (look: Look): Reading['value'] => (look.function === 'resistance' ? 'overload' : 0)

/** The stretches, one after the other, on one meter. */
const inputsOf = (stream: Stream, base: Look): CaptureInput[] => {
  let at = 10
  let chance = stream.seed
  const random = (): number => {
    chance = (chance * 48271) % 2147483647
    return chance / 2147483647 - 0.5
  }
  const inputs: CaptureInput[] = []
  for (const { shows, value, noise, drift, conversions, flags, range, press } of stream.stretches) {
    const above = range === 'above' ? 10 : 1
    const ranged: Look = { ...base, flags, resolution: base.resolution * above, range: (base.range ?? 0) * above }
    const look: Look = shows === 'other-function' ? { ...ranged, function: 'ac-voltage' } : ranged
    for (let n = 0; n < conversions; n += 1) {
      const middle = (value * (base.range ?? 0)) / 6 + (noise * random() + drift * n) * look.resolution
      const display = frame(look, shows === 'apart' ? airIn(base) : middle, at)
      for (let repeat = 0; repeat < stream.frames; repeat += 1) {
        at += 1 / (stream.rate * stream.frames)
        if (shows !== 'nothing') inputs.push({ reading: { ...display, at: seconds(at) } })
      }
    }
    if (press !== null) inputs.push({ press, at: seconds(at + 0.01) })
  }
  return inputs
}

const timeOf = (input: CaptureInput): number => ('reading' in input ? input.reading.at : 'tick' in input ? input.tick : input.at)

type Taken = { value: CapturedValue; by: CaptureInput }
const play = (task: CaptureTask, inputs: readonly CaptureInput[]): Taken[] => {
  let state: CaptureState = startCapture(task, seconds(10), null)
  const taken: Taken[] = []
  for (const input of inputs) {
    const next = capture(state, input)
    state = next.state
    for (const output of next.outputs) if (output.kind === 'captured') taken.push({ value: output.value, by: input })
  }
  return taken
}

const frozen = <T>(thing: T): T => {
  if (typeof thing === 'object' && thing !== null) {
    Object.values(thing).forEach(frozen)
    Object.freeze(thing)
  }
  return thing
}

const stoodStill = ({ value }: Taken): boolean => value.evidence === 'steady'
const wasTouched = ({ value }: Taken): boolean => value.evidence === 'steady' || value.evidence === 'moving'

/** No pattern was learned here: overload is air, and so are volts within 3 counts of zero. */
const isApart = (input: CaptureInput, look: Look): boolean => {
  if (!('reading' in input) || input.reading.function !== look.function) return false
  const { value, resolution } = input.reading
  return value === 'overload' || (look.function === 'dc-voltage' && typeof value === 'number' && Math.abs(value) <= 3.001 * (resolution ?? 0))
}

const runs = { numRuns: drawnCount(25, 80) }

describe('for any stream', () => {
  it('the streams made here are not idle: some give steady values, some confirmed ones, some none', () => {
    const seen = new Set<string>()
    for (const stream of fc.sample(fc.tuple(streamOf, kind), { numRuns: 100, seed: 7 })) {
      const taken = play(taskOf(stream[1], stream[0]), inputsOf(stream[0], kinds[stream[1]].look))
      seen.add(taken[0]?.value.evidence ?? 'none')
    }
    expect([...seen]).toEqual(expect.arrayContaining(['steady', 'confirmed', 'none']))
  })

  it('rule 11: nothing finite is captured without a contact that began after air', () => {
    fc.assert(fc.property(streamOf, kind, (stream, name) => {
      const { look } = kinds[name]
      const inputs = inputsOf(stream, look)
      for (const { value } of play(taskOf(name, stream), inputs).filter(wasTouched)) {
        const began = value.at - value.seconds
        expect(inputs.some((input) => isApart(input, look) && timeOf(input) < began + 1e-9)).toBe(true)
        const during = inputs.filter((input) => timeOf(input) > began + 1e-9 && timeOf(input) <= value.at + 1e-9)
        expect(during.filter((input) => isApart(input, look))).toEqual([])
      }
    }), runs)
  })

  it('rule 11: with the leads never seen apart nothing is captured, unless the step keeps its contact', () => {
    const touching = streamOf.map((stream) => ({ ...stream, stretches: stream.stretches.map((each) =>
      ({ ...each, shows: each.shows === 'apart' ? 'value' as const : each.shows, value: Math.max(1, each.value) })) }))
    let kept = 0
    fc.assert(fc.property(touching, (stream) => {
      const inputs = inputsOf(stream, ohmsRange)
      const task = taskOf('ohms', stream)
      expect(play(task, inputs)).toEqual([])
      kept += play({ ...task, keepsContact: true }, inputs).length
    }), { numRuns: drawnCount(50, 80) })
    expect(kept).toBeGreaterThan(0)
  })

  it('rule 7: an overload or a zero is captured by a press to confirm alone', () => {
    fc.assert(fc.property(streamOf, kind, (stream, name) => {
      const { look } = kinds[name]
      const inputs = inputsOf(stream, look)
      for (const { value, by } of play(taskOf(name, stream), inputs)) {
        const isAir = value.value === airIn(look) || value.evidence === 'confirmed' || value.evidence === 'proven'
        expect(isAir).toBe(!('reading' in by) && value.evidence !== 'moving')
        if (isAir) expect(by).toMatchObject({ press: 'confirm' })
      }
      const handsOff = inputs.filter((input) => 'reading' in input)
      expect(play(taskOf(name, stream), handsOff).filter((each) => !stoodStill(each))).toEqual([])
    }), runs)
  })

  it('rule 8: the mean and the median lie within the readings they are made of, and those within B, but for one in ten', () => {
    fc.assert(fc.property(streamOf, kind, (stream, name) => {
      for (const { value } of play(taskOf(name, stream), inputsOf(stream, kinds[name].look)).filter(stoodStill)) {
        const shown = value.raw.map(figureIn)
        const [least, most] = [Math.min(...shown), Math.max(...shown)]
        expect(value.conversions).toBe(shown.length)
        expect(shown.length).toBeGreaterThanOrEqual(3)
        for (const figure of [value.value, value.median]) {
          expect(figure).toBeGreaterThanOrEqual(least)
          expect(figure).toBeLessThanOrEqual(most)
        }
        const outside = Math.floor(shown.length / 10)
        const inOrder = shown.toSorted((one, other) => one - other)
        const spreads = Array.from({ length: outside + 1 }, (_, from) => (inOrder[from + shown.length - outside - 1] ?? Infinity) - (inOrder[from] ?? 0))
        expect(Math.min(...spreads)).toBeLessThanOrEqual((value.band ?? 0) + 0.01 * (value.resolution ?? 0))
      }
    }), runs)
  })

  it('rule 3: nothing is captured from a frame under a flag that lies', () => {
    fc.assert(fc.property(streamOf, kind, (stream, name) => {
      for (const { value } of play(taskOf(name, stream), inputsOf(stream, kinds[name].look))) {
        for (const raw of value.raw) expect(Buffer.from(raw, 'hex').toString()).not.toMatch(/hold|peak|ac-voltage/)
      }
    }), runs)
  })

  it('one step gives at most one value, and the same inputs the same result, with nothing changed in place', () => {
    fc.assert(fc.property(streamOf, kind, (stream, name) => {
      let state = frozen(startCapture(frozen(taskOf(name, stream)), seconds(10), null))
      let captured = 0
      for (const input of inputsOf(stream, kinds[name].look)) {
        const once = frozen(capture(state, frozen(input)))
        expect(capture(state, input)).toEqual(once)
        captured += once.outputs.filter((output) => output.kind === 'captured').length
        state = once.state
      }
      expect(captured).toBeLessThanOrEqual(1)
      expect(JSON.parse(JSON.stringify(state))).toEqual(state)
    }), { numRuns: drawnCount(10, 25) })
  })

  it('ticks never capture, and change nothing that is captured', () => {
    fc.assert(fc.property(streamOf, kind, fc.constantFrom(0.07, 0.1, 0.4), (stream, name, every) => {
      const inputs = inputsOf(stream, kinds[name].look)
      const last = inputs.at(-1)
      const count = last === undefined ? 0 : Math.floor((timeOf(last) - 10) / every)
      const ticks = Array.from({ length: count }, (_each, n): CaptureInput => ({ tick: seconds(10 + n * every) }))
      const ticked = [...inputs, ...ticks].sort((a, b) => timeOf(a) - timeOf(b))
      const taken = play(taskOf(name, stream), ticked)
      expect(taken.filter(({ by }) => 'tick' in by)).toEqual([])
      expect(taken).toEqual(play(taskOf(name, stream), inputs))
    }), runs)
  })
})
