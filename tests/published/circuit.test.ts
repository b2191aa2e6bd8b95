/** The solver against worked examples from outside the project. Each names its source; all are quoted from memory. */
import { describe, expect, it } from 'vitest'
import type { Element, Network } from '../../src-core/circuit/elements'
import { readsAcross } from '../../src-core/circuit/expected-reading'
import { genericDrives } from '../../src-core/circuit/meter-drive'
import { shockley } from '../../src-core/circuit/junction-law'
import { signalDiode } from '../../src-core/circuit/part-parameters'
import { solveNetwork } from '../../src-core/circuit/solve'
import { tipsOf } from '../bench-tools/lambert'

const resistor = (from: string, to: string, ohms: number): Element => ({ kind: 'resistance', part: 'R', from, to, ohms })
const ohmsBetween = (elements: Element[], plus: string, minus: string, amperes = 1): number => {
  const solved = solveNetwork({ elements }, [{ kind: 'current', plus, minus, amperes }], minus)
  if (!solved.ok) throw new Error(solved.because)
  return solved.volts.get(plus) ?? Number.NaN
}

describe('resistors in series, parallel, delta and star (any circuits textbook, such as Nilsson and Riedel, Electric Circuits, chapter 3)',
  () => {
  it('adds ohms in series', () => expect(ohmsBetween([resistor('a', 'b', 220), resistor('b', 'c', 6.5)], 'a', 'c')).toBeCloseTo(226.5, 9))
  it('adds siemens in parallel: 10 kΩ beside 12 kΩ is 5.4545 kΩ', () =>
    expect(ohmsBetween([resistor('a', 'b', 10_000), resistor('a', 'b', 12_000)], 'a', 'b')).toBeCloseTo(60_000 / 11, 6))
  it('a delta of 3 R reads like a star of R', () => {
    const delta = [resistor('a', 'b', 90), resistor('b', 'c', 90), resistor('c', 'a', 90)]
    const star = [resistor('a', 'm', 30), resistor('b', 'm', 30), resistor('c', 'm', 30)]
    expect(ohmsBetween(delta, 'a', 'b')).toBeCloseTo(ohmsBetween(star, 'a', 'b'), 9)
    expect(ohmsBetween(delta, 'a', 'b')).toBeCloseTo(60, 9)
  })
})

describe('the Wheatstone bridge (any circuits textbook, such as Nilsson and Riedel, section 3.6)', () => {
  const bridge = (r1: number, r2: number, r3: number, rx: number, detector: number | null): Element[] =>
    [resistor('top', 'l', r1), resistor('l', 'bottom', r2), resistor('top', 'r', r3), resistor('r', 'bottom', rx),
      ...(detector === null ? [] : [resistor('l', 'r', detector)])]
  const across = (elements: Element[]): number => {
    const solved = solveNetwork({ elements }, [{ kind: 'thevenin', plus: 'top', minus: 'bottom', volts: 10, ohms: 1e-6 }], 'bottom')
    if (!solved.ok) throw new Error(solved.because)
    return (solved.volts.get('l') ?? 0) - (solved.volts.get('r') ?? 0)
  }
  it('shows nothing when R1 · Rx = R2 · R3', () => expect(across(bridge(100, 150, 1000, 1500, 50))).toBeCloseTo(0, 8))
  it('unbalanced and open it shows V · (R2/(R1+R2) − Rx/(R3+Rx))', () =>
    expect(across(bridge(100, 200, 1000, 1500, null))).toBeCloseTo(10 * (200 / 300 - 1500 / 2500), 6))
  it('a detector loads it as Thévenin says', () => {
    const open = 10 * (200 / 300 - 1500 / 2500)
    const behind = (100 * 200) / 300 + (1000 * 1500) / 2500
    expect(across(bridge(100, 200, 1000, 1500, 80))).toBeCloseTo((open * 80) / (80 + behind), 6)
  })
})

describe('the cube of twelve equal resistors (a classic of circuit teaching; 5/6, 7/12 and 3/4 of one of them)', () => {
  const corners = [0, 1, 2, 3, 4, 5, 6, 7]
  const cube = corners.flatMap((corner) => [1, 2, 4].filter((axis) => (corner & axis) === 0).map((axis) =>
    resistor(`${corner}`, `${corner | axis}`, 1)))
  it('has twelve edges', () => expect(cube).toHaveLength(12))
  it.each([['7', 5 / 6, 'body diagonal'], ['1', 7 / 12, 'edge'], ['3', 3 / 4, 'face diagonal']])('to corner %s: %d (%s)', (to, ohms) =>
    expect(ohmsBetween(cube, '0', to)).toBeCloseTo(ohms, 12))
})

describe('the ladder of equal resistors comes to the golden ratio (a classic of circuit teaching)', () => {
  it('after 20 rungs', () => {
    const ladder = Array.from({ length: 20 }, (_, at) => [resistor(`${at}`, `${at + 1}`, 1), resistor(`${at + 1}`, 'ground', 1)]).flat()
    expect(ohmsBetween(ladder, '0', 'ground')).toBeCloseTo((1 + Math.sqrt(5)) / 2, 12)
  })
})

describe('junctions break Rayleigh (the bridge of circuit.md: 1 mA, I_s = 2.52 nA, n = 1.752, V_T = 25.85 mV)', () => {
  const diode = (part: string, anode: string, cathode: string): Element => ({ kind: 'junction', part, anode, cathode,
    forward: { amperes: 2.52e-9, atVolts: 0, slopeVolts: 1.752 * 0.02585 }, reverse: null, seriesOhms: 0, leakageSiemens: 0 })
  /** D1–500 Ω beside 500 Ω–D2; `bridged` joins the midpoints. */
  const volts = (bridged: boolean): number => ohmsBetween([
    diode('D1', 'top', 'l'), resistor('l', 'bottom', 500), resistor('top', 'r', 500), diode('D2', 'r', 'bottom'),
    ...(bridged ? [resistor('l', 'r', 1e-3)] : []),
  ], 'top', 'bottom', 1e-3)
  const shockley = (amperes: number): number => 1.752 * 0.02585 * Math.log(amperes / 2.52e-9 + 1)

  it('0.803 V, and 0.929 V bridged', () => {
    // To 1 mV: with V_T = 25.85 mV as given, the first comes to 0.8024 V.
    expect(Math.abs(volts(false) - 0.803)).toBeLessThan(0.001)
    expect(Math.abs(volts(true) - 0.929)).toBeLessThan(0.001)
  })
  it('not bridged it is the voltage of 500 Ω and one junction at half the current', () =>
    expect(volts(false)).toBeCloseTo(0.25 + shockley(0.5e-3), 9))
})

describe('a diode behind a resistor (Banwell and Jayakumar, Electronics Letters 36 (2000) 291: exact by Lambert W; from memory)', () => {
  it.each([[0.2, 1e3, 0], [0.5, 1e4, 0.6], [3, 2500, 0.6], [3, 1e6, 10], [9, 330, 1], [-3, 1e6, 0.6]])('%d V, %d Ω, series %d Ω', (volts, ohms, series) => {
    const [saturation, slope] = [2.52e-9, 1.752 * 0.025693]
    const solved = solveNetwork({ elements: [{ kind: 'junction', part: 'D', anode: 'a', cathode: 'c', reverse: null, seriesOhms: series, leakageSiemens: 0,
      forward: { amperes: saturation, atVolts: 0, slopeVolts: slope } }] }, [{ kind: 'thevenin', plus: 'a', minus: 'c', volts, ohms }], 'c')
    expect(solved.ok && solved.volts.get('a')).toBeCloseTo(tipsOf({ amperes: saturation, slopeVolts: slope, seriesOhms: series }, volts, ohms).volts, 9)
  })
})

describe('a silicon junction on a meter (0.45 V to 0.75 V over 0.1 mA to 1.5 mA: common practice, no source)', () => {
  it.each([0.1e-3, 0.5e-3, 1e-3, 1.5e-3])('at %d A', (amperes) => {
    const { saturationAmperes, ideality, barrier, seriesOhms, leakageOhms } = signalDiode
    const network: Network = { elements: [{ kind: 'junction', part: 'D', anode: 'a', cathode: 'c', reverse: null, seriesOhms,
      leakageSiemens: 1 / leakageOhms, forward: shockley(saturationAmperes, ideality, barrier, 25) }] }
    const drives = { ...genericDrives, diode: { ...genericDrives.diode, ranges: [{ fullScale: 2, volts: 100, ohms: 1000, amperes }] } }
    const read = readsAcross(network, 'a', 'c', 'diode', drives)
    expect(read.ok && read.amperes).toBe(amperes)
    expect(read.ok && read.value).toBeGreaterThanOrEqual(0.45)
    expect(read.ok && read.value).toBeLessThanOrEqual(0.75)
  })
})
