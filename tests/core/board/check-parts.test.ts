import { describe, expect, it } from 'vitest'
import { checkBoard } from '../../../src-core/board/check'
import { partKind } from '../../../src-core/board/part'
import { sampleJson } from '../circuit/sample'

type Json = Record<string, unknown>
type Problem = { field: string; message: string }

const problemsOf = (json: Json): Problem[] => {
  const checked = checkBoard(json, 'board.json')
  return 'problems' in checked ? checked.problems.map(({ field, message }) => ({ field, message })) : []
}
/** The sample board with one part more, and where it stands. */
const withPart = (part: Json): { problems: Problem[]; at: string } => {
  const json = sampleJson()
  const parts = json.parts as Json[]
  return { problems: problemsOf({ ...json, parts: [...parts, { ref: 'X1', ...part }] }), at: `parts[${parts.length}]` }
}
const one = (part: Json): { field: string; message: string } => {
  const { problems, at } = withPart(part)
  expect(problems).toHaveLength(1)
  return { field: problems[0]?.field.replace(at, 'part') ?? '', message: problems[0]?.message ?? '' }
}
const [a, b, c, d] = ['A', 'B', 'V24', 'GND']

describe('the pins of a part', () => {
  const right: Record<string, Json> = {
    resistor: { value: 10, pins: { 1: a, 2: b } }, ntc: { value: 1e4, pins: { 1: a, 2: b } }, ptc: { value: 100, pins: { 1: a, 2: b } },
    'ferrite-bead': { pins: { 1: a, 2: b } }, coil: { pins: { 1: a, 2: b } }, choke: { pins: { 1: a, 2: b, 3: c, 4: d } }, transformer: { pins: { 1: a, 2: b, 3: c, 4: d } },
    capacitor: { value: 1e-9, pins: { 1: a, 2: b } }, diode: { pins: { anode: a, cathode: b } }, rectifier: { pins: { anode: a, cathode: b } }, schottky: { pins: { anode: a, cathode: b } },
    zener: { value: 5, pins: { anode: a, cathode: b } }, tvs: { value: 33, pins: { anode: a, cathode: b } }, 'two-way-protector': { value: 12, pins: { 1: a, 2: b } },
    varistor: { value: 47, pins: { 1: a, 2: b } }, 'gas-tube': { pins: { a, b, common: d } }, 'thyristor-protector': { pins: { 1: a, 2: b } }, led: { pins: { anode: a, cathode: b } },
    bridge: { pins: { AC1: a, AC2: b, plus: c, minus: d } }, optocoupler: { pins: { anode: a, cathode: b, collector: c, emitter: d } },
    npn: { pins: { base: a, collector: b, emitter: d } }, pnp: { pins: { base: a, collector: b, emitter: d } }, 'n-mosfet': { pins: { gate: a, drain: b, source: d } }, 'p-mosfet': { pins: { gate: a, drain: b, source: d } },
    ic: { value: 1000, pins: { IN: a, GND: d } }, fuse: { pins: { 1: a, 2: b } }, link: { pins: { 1: a, 2: b } }, contact: { pins: { 1: a, 2: b } }, 'closed-contact': { pins: { 1: a, 2: b } }, connector: { pins: { 1: a } },
  }
  it.each(partKind.options)('of a %s are taken as the README names them, and refused by its name when they are others', (kind) => {
    expect(withPart({ kind, ...right[kind] }).problems).toEqual([])
    if (kind === 'connector') return
    const wrong = one({ kind, ...right[kind], pins: { odd: a } })
    expect(wrong.field).toBe('part.pins')
    expect(wrong.message).toMatch(/^X1 (is an? |has the resistance of its inputs)/)
  })
  it('are asked for by name', () => {
    expect(one({ kind: 'npn', pins: { 1: a, 2: b, 3: c } }).message).toBe('X1 is an npn; name its pins "base", "collector" and "emitter"')
    expect(one({ kind: 'bridge', pins: { AC1: a, AC2: b, '+': c, '-': d } }).message).toBe('X1 is a bridge; name its pins "AC1", "AC2", "plus" and "minus"')
    expect(one({ kind: 'gas-tube', pins: { a, b, c: d } }).message).toBe('X1 is a gas-tube; name its pins "a", "b" and "common", or give it two')
    expect(one({ kind: 'transformer', pins: { 1: a, 2: b, 3: c } }).message).toBe('X1 is a transformer; list its pins in pairs, one pair a winding')
  })
  it('may be more on a diode or a Zener, as files had them before', () => expect(withPart({ kind: 'diode', pins: { anode: a, cathode: b, tab: b } }).problems).toEqual([]))
})

describe('the figures of a part', () => {
  it.each([['zero', 0], ['negative', -220]])('a value that is %s is named with its part', (_, value) =>
    expect(one({ kind: 'resistor', value, pins: { 1: a, 2: b } })).toEqual({ field: 'part.value', message: `must be above 0, not ${value} (X1)` }))
  it('a parameter below its bound is named with its part', () =>
    expect(one({ kind: 'diode', pins: { anode: a, cathode: b }, parameters: { ideality: 0.1 } })).toEqual({ field: 'part.parameters.ideality', message: 'must be at least 0.5, not 0.1 (X1)' }))
  it.each(['ntc', 'ptc', 'tvs', 'varistor'])('a %s without its value is asked for it', (kind) =>
    expect(one({ kind, pins: kind === 'tvs' ? { anode: a, cathode: b } : { 1: a, 2: b } })).toEqual({ field: 'part.value', message: `X1 is ${kind === 'ntc' ? 'an' : 'a'} ${kind}; write its value in SI units` }))
  it('a parameter that means nothing for the kind is refused, with those that do', () => {
    expect(one({ kind: 'resistor', value: 10, pins: { 1: a, 2: b }, parameters: { betaKelvin: 3950 } })).toEqual({ field: 'part.parameters.betaKelvin', message: 'means nothing for X1, a resistor; remove it' })
    expect(one({ kind: 'ntc', value: 10, pins: { 1: a, 2: b }, parameters: { ideality: 2 } }).message).toBe('means nothing for X1, an ntc; remove it, or choose from betaKelvin')
  })
  it('the ohms of a pin that is none are refused', () => {
    expect(one({ kind: 'ic', pins: { IN: a, GND: d }, parameters: { pinOhms: { OUT: 100 } } })).toEqual({ field: 'part.parameters.pinOhms.OUT', message: '"OUT" is no input of X1; choose from IN' })
    expect(one({ kind: 'choke', pins: { 1: a, 2: b }, parameters: { pinOhms: { 2: 100 } } }).message).toBe('"2" is no first pin of a winding of X1; choose from 1')
  })
})

describe('what does not hang together', () => {
  it('a part on a net that does not exist is named with its pin', () =>
    expect(one({ kind: 'resistor', value: 10, pins: { 1: a, 2: 'NOWHERE' } })).toEqual({ field: 'part.pins.2', message: '"NOWHERE" is not in nets; add it there or correct the name (pin 2 of X1)' }))
  it('two parts of one designator are named', () =>
    expect(one({ ref: 'R4', kind: 'resistor', value: 10, pins: { 1: a, 2: b } })).toEqual({ field: 'part.ref', message: '"R4" is used twice; give each part its own' }))
  it('an isolated test point, on a net that no part touches, is named', () => {
    const json = sampleJson()
    const points = json.testPoints as Json[]
    const alone = { id: 'TP9', net: 'SPARE', picture: 'top', x: 10, y: 10, words: 'a pad on its own' }
    expect(problemsOf({ ...json, nets: [...(json.nets as string[]), 'SPARE'], testPoints: [...points, alone] }))
      .toEqual([{ field: `testPoints[${points.length}].net`, message: 'TP9 lies on net "SPARE", and no part does; correct the net, or add the part to parts' }])
  })
  it('neighbours must be two nets of the board', () => {
    expect(problemsOf({ ...sampleJson(), neighbours: [['A', 'B'], ['A', 'NOWHERE'], ['B', 'B']] })).toEqual([
      { field: 'neighbours[1][1]', message: '"NOWHERE" is not in nets; add it there or correct the name' }, { field: 'neighbours[2]', message: 'names "B" twice; a bridge needs two nets' }])
  })
})
