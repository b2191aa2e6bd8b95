/**
 * Circuits at which Newton's steps alone do not settle, and what does. Found among 272,000 networks drawn far outside what a meter drives (thousands of
 * volts, slopes of 10 mV): 111 needed conductances across the junctions, one the drives turned up, none neither. Then made as small and round as they go.
 */
import { describe, expect, it } from 'vitest'
import { compile } from '../../../src-core/circuit/circuit'
import type { Element, Junction } from '../../../src-core/circuit/elements'
import { operatingPoint, type Settings, type Way, workspaceOf } from '../../../src-core/circuit/newton'
import { solveNetwork } from '../../../src-core/circuit/solve'
import { amperesThrough } from './one-part'

const junction = (anode: string, cathode: string, amperes: number, slopeVolts: number, breakdown: [volts: number, slope: number] | null = null, leakageSiemens = 1e-12): Junction => ({
  kind: 'junction', part: `${anode}${cathode}`, anode, cathode, forward: { amperes, atVolts: 0, slopeVolts },
  reverse: breakdown === null ? null : { amperes: 1e-3, atVolts: breakdown[0], slopeVolts: breakdown[1] }, seriesOhms: 0, leakageSiemens,
})
const resistor = (from: string, to: string, ohms: number): Element => ({ kind: 'resistance', part: `${from}${to}`, from, to, ohms })

type Case = { elements: Element[]; plus: string; minus: string; volts: number; ohms: number }
/** A Zener backwards before a diode backwards that leaks a thousandth of what the Zener does: 100 V find their way through femtosiemens. */
const blocked: Case = { elements: [junction('a', 'plus', 3e-12, 0.08, [4, 0.01]), junction('minus', 'a', 5e-13, 0.03, null, 1e-15)], plus: 'plus', minus: 'minus', volts: 100, ohms: 1 }
/** 4000 V on five junctions in a row, two of them backwards, and 100 MΩ. */
const row: Case = {
  elements: [
    junction('n3', 'n5', 5e-16, 0.02, [4, 0.08]), junction('n2', 'plus', 2e-9, 0.05), resistor('n2', 'n1', 1e7), junction('n5', 'n1', 2e-7, 0.01),
    junction('minus', 'n1', 5e-16, 0.03), resistor('minus', 'n3', 9e7),
  ],
  plus: 'plus', minus: 'minus', volts: 4000, ohms: 0.06,
}

const settle = ({ elements, plus, minus, volts, ohms }: Case, settings: Settings = {}): { settled: boolean; by: Way | null; at: (net: string) => number } => {
  const circuit = compile({ elements })
  const numberOf = (net: string): number => circuit.netNumber.get(net) ?? -1
  const placeOf = (net: string): number => circuit.place[numberOf(net)] ?? -1
  const component = circuit.components[circuit.component[numberOf(minus)] ?? -1]
  if (component === undefined) throw new Error('nothing joins the tips')
  const work = workspaceOf(component)
  const settled = operatingPoint(component, [{ plus: placeOf(plus), minus: placeOf(minus), amperes: volts / ohms, siemens: 1 / ohms }], placeOf(minus), work, settings)
  return { settled, by: work.settledBy, at: (net) => work.volts[placeOf(net)] ?? Number.NaN }
}

/** Of every net what the elements' own laws carry away, beside the most that any carries to or from it: Kirchhoff, with nothing of the solver's. */
const leftOver = ({ elements, plus, minus, volts, ohms }: Case, at: (net: string) => number): number[] => {
  const flows: [string, string, number][] = elements.map((element) => (element.kind === 'junction'
    ? [element.anode, element.cathode, amperesThrough(element, at(element.anode) - at(element.cathode))]
    : element.kind === 'resistance' ? [element.from, element.to, (at(element.from) - at(element.to)) / element.ohms] : ['', '', 0]))
  flows.push([minus, plus, (volts - (at(plus) - at(minus))) / ohms])
  const nets = [...new Set(flows.flatMap(([from, to]) => [from, to]))].filter((net) => net !== plus && net !== minus)
  return nets.map((net) => {
    const own = flows.flatMap(([from, to, amperes]) => (from === net ? [-amperes] : to === net ? [amperes] : []))
    return Math.abs(own.reduce((sum, one) => sum + one, 0)) / Math.max(...own.map(Math.abs))
  })
}

describe('where Newton’s steps alone do not settle', () => {
  it('conductances across the junctions, taken away by decades, lead to the operating point', () => {
    expect(settle(blocked, { ways: ['newton'] }).settled).toBe(false)
    const found = settle(blocked)
    expect(found).toMatchObject({ settled: true, by: 'gmin' })
    for (const left of leftOver(blocked, found.at)) expect(left).toBeLessThan(1e-6)
  })
  it('and where they do not either, the drives turned up from nothing', () => {
    expect(settle(row, { ways: ['newton'] }).settled).toBe(false)
    expect(settle(row, { ways: ['newton', 'gmin'] })).toMatchObject({ settled: false, by: null })
    const found = settle(row)
    expect(found).toMatchObject({ settled: true, by: 'source' })
    for (const left of leftOver(row, found.at)) expect(left).toBeLessThan(1e-6)
  })
  it('each leads to the same point where all of them settle', () => {
    const easy: Case = { ...row, volts: 3, ohms: 2500 }
    const [newton, gmin, source] = (['newton', 'gmin', 'source'] as const).map((way) => settle(easy, { ways: [way] }))
    expect([newton?.by, gmin?.by, source?.by]).toEqual(['newton', 'gmin', 'source'])
    for (const net of ['n1', 'n2', 'n3', 'n5', 'plus']) {
      expect(gmin?.at(net)).toBeCloseTo(newton?.at(net) ?? Number.NaN, 9)
      expect(source?.at(net)).toBeCloseTo(newton?.at(net) ?? Number.NaN, 9)
    }
  })
})

describe('where none of the three settles', () => {
  /** Its saturation current is all that can flow back, and more is driven: no voltage does it. */
  const driven = (siemens: number): Element[] => [junction('a', 'b', 1e-9, 0.04, null, siemens)]
  it('that is reported, and no number', () => {
    const solved = solveNetwork({ elements: driven(0) }, [{ kind: 'current', plus: 'b', minus: 'a', amperes: 1e-3 }], 'a')
    expect(solved).toEqual({ ok: false, because: 'The junctions of the network did not settle: no operating point was found.' })
  })
  it('with a leak it has a solution, which is found', () => {
    const solved = solveNetwork({ elements: driven(1e-3) }, [{ kind: 'current', plus: 'b', minus: 'a', amperes: 1e-3 }], 'a')
    expect(solved.ok && solved.volts.get('b')).toBeCloseTo(1 - 1e-6, 9)
  })
  it('each of the three is tried before it is said', () => {
    const circuit = compile({ elements: driven(0) })
    const [component] = circuit.components
    if (component === undefined) throw new Error('no component')
    for (const ways of [['newton'], ['gmin'], ['source'], ['newton', 'gmin', 'source']] as const) {
      const work = workspaceOf(component)
      expect(operatingPoint(component, [{ plus: circuit.place[1] ?? -1, minus: circuit.place[0] ?? -1, amperes: 1e-3, siemens: 0 }], circuit.place[0] ?? -1, work, { ways })).toBe(false)
      expect(work.settledBy).toBeNull()
    }
  })
})
