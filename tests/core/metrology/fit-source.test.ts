/** A meter’s source is found again from what it displays; what the displays do not tell is said, not made up. */
import { describe, expect, it } from 'vitest'
import { fitSource, plusOf, type FitKit, type FitReading } from '../../../src-core/metrology/fit-source'
import { designs, displayed, type Design, type SimulatedSource } from './simulated-sources'

const kit: FitKit = { ohms: { first: 470, second: 1500 }, diode: null }
const design = (index: number): Design => { const found = designs[index]; if (found === undefined) throw new Error(`no design ${index}`); return found }
const without = (readings: FitReading[], ...gone: string[]): FitReading[] => readings.filter(({ function: fn, placement }) => !gone.includes(`${fn} ${placement}`))
const seeds = [1, 2, 3, 4, 5, 6, 7, 8]
const offBy = (found: number, true_: number): number => Math.abs(found / true_ - 1)

describe('three simulated meters of different design', () => {
  it('a ratio meter: volts, ohms and polarity within 5 % in both functions', () => {
    for (const seed of seeds) {
      const { fitted, open } = fitSource(displayed(design(0), seed), kit)
      expect(open).toEqual([])
      expect(fitted.map(({ source }) => [source.function, source.range, source.plus, source.amperes, source.basis])).toEqual([['diode', null, 'red', null, 'fitted'], ['resistance', 6000, 'red', null, 'fitted']])
      for (const { source } of fitted) {
        expect(offBy(source.volts, 3)).toBeLessThan(0.05)
        expect(offBy(source.ohms, 2500)).toBeLessThan(0.05)
      }
    }
  })
  it('a constant current: volts and polarity, its current within 5 % in place of a resistance that only bounds from above', () => {
    for (const seed of seeds) {
      const { fitted, found, open } = fitSource(displayed(design(1), seed), kit)
      const [{ source, ohmsAtMost } = { source: null, ohmsAtMost: false }] = fitted
      expect(source).toMatchObject({ function: 'diode', plus: 'red' })
      expect(offBy(source?.volts ?? 0, 2)).toBeLessThan(0.05)
      // The true 120 Ω drop 11 mV beside the clamp: what shows is the limit, and that the resistance is no more than where it ends.
      expect(offBy(source?.amperes ?? 0, 0.001)).toBeLessThan(0.05)
      expect([ohmsAtMost, (source?.ohms ?? 0) >= 120]).toEqual([true, true])
      expect(found).toContain('Resistance, 6 kΩ range: plus is at the black lead.')
      expect(found.join(' ')).toMatch(/Resistance, 6 kΩ range: it drives (19\d|200|201) µA up to at least 0\.8\d+ V/)
      expect(open.join(' ')).toMatch(/^Resistance, 6 kΩ range: the voltage behind its current cannot be seen/)
      expect(fitted).toHaveLength(1)
    }
  })
  it('a low voltage: volts, ohms and polarity within 5 % in both functions', () => {
    for (const seed of seeds) {
      const { fitted } = fitSource(displayed(design(2), seed), kit)
      expect(fitted.map(({ source }) => [source.function, source.range, source.plus])).toEqual([['diode', null, 'red'], ['resistance', 60_000, 'red']])
      const truths: [number, number][] = [[1.6, 1100], [0.6, 10_000]]
      fitted.forEach(({ source }, index) => {
        expect(offBy(source.volts, truths[index]?.[0] ?? NaN)).toBeLessThan(0.05)
        expect(offBy(source.ohms, truths[index]?.[1] ?? NaN)).toBeLessThan(0.05)
      })
    }
  })
  it('says itself how sure it is, and keeps to it', () => {
    for (const index of [0, 2]) for (const seed of seeds) {
      const truths: Record<string, SimulatedSource | undefined> = {
        diode: design(index).diode.source, resistance: design(index).resistance.ranges.find(({ full }) => full === (index === 0 ? 6000 : 60_000))?.source,
      }
      for (const { source, sure } of fitSource(displayed(design(index), seed), kit).fitted) {
        const own = Math.abs(design(index).voltsGain) + Math.abs(design(index).ohmsGain)
        expect(offBy(source.volts, truths[source.function]?.volts ?? NaN)).toBeLessThan(sure.volts + own)
        expect(offBy(source.ohms, truths[source.function]?.ohms ?? NaN)).toBeLessThan(sure.ohms + own)
      }
    }
  })
})

describe('what the readings do not tell', () => {
  it('a second resistor that overloads leaves the source open, with what to take instead', () => {
    const readings = displayed(design(0), 1).map((each): FitReading => (each.function === 'diode' && each.placement === 'second' ? { ...each, value: 'overload' } : each))
    const { fitted, open } = fitSource(readings, kit)
    expect(fitted).toEqual([])
    expect(open.join(' ')).toMatch(/too few resistors gave a figure.*470 Ω and 1\.5 kΩ/)
  })
  it('a constant current behind an overload has no voltage', () => {
    const readings = displayed({ ...design(1), diode: { ...design(1).diode, shownUpTo: 1.9 } }, 1)
    const { fitted, found, open } = fitSource(readings, kit)
    expect(fitted).toEqual([])
    expect(found.join(' ')).toMatch(/Diode test: it drives 99\d µA up to at least 1\.48 V/)
    expect(open.join(' ')).toMatch(/Diode test: the voltage behind its current cannot be seen.*another meter/)
  })
  it('without the diode across the first resistor the resistance function keeps its polarity only', () => {
    const { fitted, found, open } = fitSource(without(displayed(design(0), 1), 'diode diode-across-first'), kit)
    expect(fitted.map(({ source }) => source.function)).toEqual(['diode'])
    expect(found).toContain('Resistance: plus is at the red lead.')
    expect(open.join(' ')).toMatch(/Resistance: the source’s voltage is not known.*diode across the first resistor/)
  })
  it('one point in a range is not enough', () => {
    const { fitted, open } = fitSource(without(displayed(design(0), 1), 'resistance diode-and-second'), kit)
    expect(fitted.map(({ source }) => source.function)).toEqual(['diode'])
    expect(open.join(' ')).toMatch(/Resistance, 6 kΩ range: one point of the diode is not enough/)
  })
  it('a source below the diode’s voltage does not tell its polarity', () => {
    const low: Design = { ...design(0), resistance: { plus: 'red', ranges: [{ full: 6000, count: 1, source: { volts: 0.15, ohms: 2500, amperes: 1 } }] } }
    const { open } = fitSource(displayed(low, 1), kit)
    expect(open.join(' ')).toMatch(/Resistance: the diode conducted neither way.*does not open it/)
  })
  it('the wrong resistor fits nothing', () => {
    const { fitted, found, open } = fitSource(displayed(design(0), 1), { ...kit, ohms: { ...kit.ohms, first: 1000 } })
    expect([fitted, found]).toEqual([[], []])
    expect(open).toEqual(['The first resistor reads 472 Ω; the kit says 1 kΩ. Take the right one, or correct the kit, and fit again. Nothing was fitted.'])
  })
  it('a diode that reads another voltage than its certificate says at that current speaks against the fit', () => {
    expect(fitSource(displayed(design(0), 1), { ...kit, diode: { volts: 0.6, amperes: 0.001 } }).fitted).toHaveLength(2)
    const { fitted, open } = fitSource(displayed(design(0), 1), { ...kit, diode: { volts: 0.7, amperes: 0.001 } })
    expect(fitted).toEqual([])
    expect(open.join(' ')).toMatch(/The diode reads (9\d|10\d)(\.\d)? mV less than its certificate says/)
  })
  it('no readings, no words of a source', () => {
    const { fitted, open } = fitSource([], kit)
    expect(fitted).toEqual([])
    expect(open.length).toBeGreaterThan(0)
  })
})

describe('which lead is plus', () => {
  it('is told by the way the diode conducts, also where open leads show a figure', () => {
    expect(plusOf(0.6, 'overload', 'overload')).toBe('red')
    expect(plusOf('overload', 2600, 'overload')).toBe('black')
    expect(plusOf(0.6, 1.992, 1.992)).toBe('red')
    expect(plusOf(2.0, -0.6, 2.0)).toBe('black')
  })
  it('is not told by a diode that conducts both ways or neither', () => {
    expect(plusOf(0.6, 0.58, 'overload')).toBeNull()
    expect(plusOf('overload', 'overload', 'overload')).toBeNull()
    expect(plusOf(0.6, undefined, 'overload')).toBeNull()
  })
})
