import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Element, Junction, Network } from '../../../src-core/circuit/elements'
import { eliminate, substitute } from '../../../src-core/circuit/eliminate'
import { solveNetwork } from '../../../src-core/circuit/solve'

const resistor = (from: string, to: string, ohms: number, part = 'R'): Element => ({ kind: 'resistance', part, from, to, ohms })
/** A silicon junction unless said; `volts` at which it passes 5 mA the other way. */
const diode = (anode: string, cathode: string, amperes = 2.52e-9, volts: number | null = null): Element => ({
  kind: 'junction', part: 'D', anode, cathode, forward: { amperes, atVolts: 0, slopeVolts: 0.045 },
  reverse: volts === null ? null : { amperes: 5e-3, atVolts: volts, slopeVolts: 0.0257 }, seriesOhms: 0.6, leakageSiemens: 1e-10,
})

const net = (n: number): string => `n${n}`
const nets = 6
/** A ring keeps every net joined; what is drawn comes on top of it. */
const ring = (ohms: readonly number[]): Element[] => ohms.map((value, at) => resistor(net(at), net((at + 1) % nets), value, `ring${at}`))
const ohmsDrawn = fc.double({ min: -1, max: 6, noNaN: true }).map((power) => 10 ** power)
const pair = fc.tuple(fc.nat(nets - 1), fc.nat(nets - 1)).filter(([a, b]) => a !== b)
const resistorNetwork: fc.Arbitrary<Network> = fc.tuple(fc.array(ohmsDrawn, { minLength: nets, maxLength: nets }),
  fc.array(fc.tuple(pair, ohmsDrawn), { maxLength: 8 }))
  .map(([ringOhms, more]) => ({ elements: [...ring(ringOhms),
    ...more.map(([[a, b], ohms], at) => resistor(net(a), net(b), ohms, `more${at}`))] }))
const withJunctions: fc.Arbitrary<Network> = fc.tuple(resistorNetwork,
  fc.array(fc.tuple(pair, fc.constantFrom(1e-12, 2.52e-9, 2.52e-9, 1e-6), fc.constantFrom(null, null, 5.1, 12)),
  { minLength: 1, maxLength: 14 }))
  .map(([{ elements }, junctions]) => ({ elements: [...elements,
    ...junctions.map(([[a, b], amperes, volts]) => diode(net(a), net(b), amperes, volts))] }))

const voltsAt = (network: Network, amperes: number, plus = 'n0', minus = 'n3'): number => {
  const solved = solveNetwork(network, [{ kind: 'current', plus, minus, amperes }], minus)
  if (!solved.ok) throw new Error(solved.because)
  return solved.volts.get(plus) ?? Number.NaN
}
const ohmsAt = (network: Network): number => voltsAt(network, 1e-3) / 1e-3

/** By bisection on the current, so that nothing of the solver's own evaluation is used. */
const junctionAmperes = (junction: Junction, ends: number): number => {
  const one = (law: Junction['forward'], v: number): number => (law === null ? 0
    : law.amperes * (Math.exp(Math.min(500, (v - law.atVolts) / law.slopeVolts)) - Math.exp(-law.atVolts / law.slopeVolts)))
  const at = (v: number): number => one(junction.forward, v) - one(junction.reverse, -v) + junction.leakageSiemens * v
  let [low, high] = ends < 0 ? [ends, 0] : [0, ends]
  for (let halved = 0; halved < 100; halved += 1) {
    const middle = (low + high) / 2
    if (middle + junction.seriesOhms * at(middle) > ends) high = middle
    else low = middle
  }
  return at(low)
}

const currentInto = (element: Element, at: ReadonlyMap<string, number | null>): [from: string, to: string, amperes: number] => {
  const volts = (name: string): number => at.get(name) ?? 0
  switch (element.kind) {
    case 'resistance': return [element.from, element.to, (volts(element.from) - volts(element.to)) / element.ohms]
    case 'junction': return [element.anode, element.cathode, junctionAmperes(element, volts(element.anode) - volts(element.cathode))]
    case 'capacitance': return [element.from, element.to, 0]
  }
}

describe('the nodal solution', () => {
  it('leaves no current over at any net, with resistors and junctions (Kirchhoff)', () => {
    fc.assert(fc.property(withJunctions, fc.double({ min: 1e-5, max: 2e-3, noNaN: true }), (network, amperes) => {
      const solved = solveNetwork(network, [{ kind: 'current', plus: 'n0', minus: 'n3', amperes }], 'n3')
      if (!solved.ok) throw new Error(solved.because)
      const left = new Map<string, number>([['n0', amperes], ['n3', -amperes]])
      let largest = amperes
      for (const element of network.elements) {
        const [from, to, flows] = currentInto(element, solved.volts)
        left.set(from, (left.get(from) ?? 0) - flows)
        left.set(to, (left.get(to) ?? 0) + flows)
        largest = Math.max(largest, Math.abs(flows))
      }
      // What is left is the rounding of volts through 0.1 Ω.
      for (const amperesLeft of left.values()) expect(Math.abs(amperesLeft)).toBeLessThan(1e-9 * largest)
    }), { seed: 1, numRuns: 300 })
  })

  it('never falls at a placement when more current is driven, whatever junctions are in it', () => {
    fc.assert(fc.property(withJunctions, fc.array(fc.double({ min: 0, max: 3e-3, noNaN: true }), { minLength: 2, maxLength: 6 }),
      (network, currents) => {
      const volts = currents.sort((a, b) => a - b).map((amperes) => voltsAt(network, amperes))
      volts.slice(1).forEach((value, at) => expect(value).toBeGreaterThanOrEqual((volts[at] ?? 0) - 1e-9))
    }), { seed: 2, numRuns: 200 })
  })

  it('never takes power out of a board', () => {
    fc.assert(fc.property(withJunctions, fc.double({ min: -3e-3, max: 3e-3, noNaN: true }), (network, amperes) => {
      expect(voltsAt(network, amperes) * amperes).toBeGreaterThanOrEqual(-1e-12)
    }), { seed: 3, numRuns: 200 })
  })

  it('leaves a net null that nothing joins to the reference, and does not let it disturb the rest', () => {
    const network: Network = { elements: [resistor('a', 'b', 1000), resistor('x', 'y', 10),
      { kind: 'capacitance', part: 'C', from: 'y', to: 'a', farads: 1e-6 }] }
    const solved = solveNetwork(network, [{ kind: 'current', plus: 'a', minus: 'b', amperes: 0.001 }], 'b')
    expect(solved.ok && [solved.volts.get('a'), solved.volts.get('x'), solved.volts.get('y')]).toEqual([1, null, null])
  })

  it('says so when a current has no path', () => {
    const solved = solveNetwork({ elements: [resistor('a', 'b', 1)] }, [{ kind: 'current', plus: 'a', minus: 'z', amperes: 1 }], 'z')
    expect(solved).toEqual({ ok: false, because: 'A current was driven from z to a, and no path joins them.' })
  })

  it('says so when a value in the network cannot be', () => {
    const solved = solveNetwork({ elements: [resistor('a', 'b', 0)] }, [{ kind: 'current', plus: 'a', minus: 'b', amperes: 1 }], 'b')
    expect(solved.ok).toBe(false)
  })

  it('says so when the junctions do not settle in the steps allowed', () => {
    const solved = solveNetwork({ elements: [diode('a', 'b')] }, [{ kind: 'current', plus: 'a', minus: 'b', amperes: 1e-3 }], 'b', 1)
    expect(solved).toEqual({ ok: false, because: 'The junctions of the network did not settle: no operating point was found.' })
  })

  it('says so when a current could only flow where nothing conducts', () => {
    const blocked: Element = { kind: 'junction', part: 'D', anode: 'a', cathode: 'b', forward: { amperes: 1e-9, atVolts: 0, slopeVolts: 0.04 },
      reverse: null, seriesOhms: 0, leakageSiemens: 0 }
    const solved = solveNetwork({ elements: [blocked] }, [{ kind: 'current', plus: 'b', minus: 'a', amperes: 1e-3 }], 'a')
    expect(solved.ok).toBe(false)
  })

  it('settles whatever junctions and however hard they are driven', () => {
    fc.assert(fc.property(withJunctions, fc.double({ min: -50, max: 50, noNaN: true }), (network, volts) => {
      expect(solveNetwork(network, [{ kind: 'thevenin', plus: 'n0', minus: 'n3', volts, ohms: 10 }], 'n3').ok).toBe(true)
    }), { seed: 8, numRuns: 500 })
  })

  it('conducts through a junction one way only', () => {
    const network: Network = { elements: [diode('a', 'b')] }
    expect(voltsAt(network, 1e-3, 'a', 'b')).toBeCloseTo(0.045 * Math.log(1e-3 / 2.52e-9 + 1) + 0.6e-3, 6)
    const back = solveNetwork(network, [{ kind: 'thevenin', plus: 'b', minus: 'a', volts: 3, ohms: 2500 }], 'a')
    expect(back.ok && back.volts.get('b')).toBeCloseTo(3 - 2500 * (2.52e-9 + 3e-10), 9)
  })
})

describe('Rayleigh: on resistors alone', () => {
  it('a short never raises a reading', () => {
    fc.assert(fc.property(resistorNetwork, pair, fc.double({ min: 0.05, max: 5, noNaN: true }), (network, [a, b], ohms) => {
      const shorted: Network = { elements: [...network.elements, resistor(net(a), net(b), ohms)] }
      expect(ohmsAt(shorted)).toBeLessThanOrEqual(ohmsAt(network) * (1 + 1e-9))
    }), { seed: 4, numRuns: 300 })
  })

  it('an open never lowers a reading', () => {
    fc.assert(fc.property(resistorNetwork, fc.nat(20), (network, which) => {
      const gone = which % network.elements.length
      const solved = solveNetwork({ elements: network.elements.filter((_, at) => at !== gone) },
        [{ kind: 'thevenin', plus: 'n0', minus: 'n3', volts: 1, ohms: 1000 }], 'n3')
      const before = solveNetwork(network, [{ kind: 'thevenin', plus: 'n0', minus: 'n3', volts: 1, ohms: 1000 }], 'n3')
      if (!solved.ok || !before.ok) throw new Error('not solved')
      expect(solved.volts.get('n0') ?? 1).toBeGreaterThanOrEqual((before.volts.get('n0') ?? 1) * (1 - 1e-9))
    }), { seed: 5, numRuns: 300 })
  })

  it('a resistor that drifts up never lowers a reading', () => {
    fc.assert(fc.property(resistorNetwork, fc.nat(20), fc.double({ min: 1, max: 10, noNaN: true }), (network, which, factor) => {
      const drifts = which % network.elements.length
      const elements = network.elements.map((element, at) =>
        (at === drifts && element.kind === 'resistance' ? { ...element, ohms: element.ohms * factor } : element))
      expect(ohmsAt({ elements })).toBeGreaterThanOrEqual(ohmsAt(network) * (1 - 1e-9))
    }), { seed: 6, numRuns: 300 })
  })
})

describe('elimination', () => {
  it('keeps the small beside the large: 10 MΩ to ground behind 0.001 Ω, to 14 digits', () => {
    const [small, large] = [1e-7, 1e3]
    const siemens = new Float64Array([0, large, 0, 0, 0, small, 0, 0, 0])
    const [ground, sums, amperes, volts] = [new Float64Array(3), new Float64Array(3), new Float64Array([1e-9, 0, 0]), new Float64Array(3)]
    expect(eliminate(siemens, 3, 2, ground, sums)).toBe(true)
    substitute(siemens, 3, 2, sums, amperes, volts)
    expect(Math.abs((volts[1] ?? 0) / 1e-2 - 1)).toBeLessThan(1e-14)
    expect(Math.abs(((volts[0] ?? 0) - 1e-2 - 1e-12) / 1e-2)).toBeLessThan(1e-14)
  })
  it('says when nothing joins a net to the rest', () => {
    expect(eliminate(new Float64Array(4), 2, 1, new Float64Array(2), new Float64Array(2))).toBe(false)
  })
})
