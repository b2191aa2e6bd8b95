import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { allowedFaults, type Fault, faultInWords, faultText, parseFault, parseFaults, sameWithinSpread } from '../../../src-core/circuit/faults'
import { sampleBoard } from './sample'

const board = sampleBoard()
const problem = (text: string): string => {
  const parsed = parseFault(board, text)
  return 'problem' in parsed ? parsed.problem : `read as ${JSON.stringify(parsed.fault)}`
}

describe('a fault as it is typed', () => {
  it('is read: kind and figure', () => {
    expect(parseFault(board, 'R4:open')).toEqual({ fault: { ref: 'R4', pin: null, kind: 'open' } })
    expect(parseFault(board, 'D5:leaky=1200')).toEqual({ fault: { ref: 'D5', pin: null, kind: 'leaky', ohms: 1200 } })
    expect(parseFault(board, 'R3:drifted=2.2')).toEqual({ fault: { ref: 'R3', pin: null, kind: 'drifted', factor: 2.2 } })
    expect(parseFault(board, 'D2:reversed')).toEqual({ fault: { ref: 'D2', pin: null, kind: 'reversed' } })
    expect(parseFault(board, 'D5:short')).toEqual({ fault: { ref: 'D5', pin: null, kind: 'short', ohms: 0.2 } })
  })
  it('may name one input of an IC or one winding', () => {
    expect(parseFault(board, 'U2.A:short=1')).toEqual({ fault: { ref: 'U2', pin: 'A', kind: 'short', ohms: 1 } })
    expect(parseFault(board, 'T1.3:open')).toEqual({ fault: { ref: 'T1', pin: '3', kind: 'open' } })
  })
  it('for every part and kind comes back as it was written', () => {
    const parts = board.parts.filter((part) => allowedFaults(part.kind).length > 0)
    fc.assert(fc.property(fc.constantFrom(...parts), fc.nat(9), fc.double({ min: 0.01, max: 1e6, noNaN: true }), (part, which, figure) => {
      const kinds = allowedFaults(part.kind)
      const kind = kinds[which % kinds.length] ?? 'open'
      const text = kind === 'open' || kind === 'reversed' ? `${part.ref}:${kind}` : `${part.ref}:${kind}=${figure}`
      const parsed = parseFault(board, text)
      if ('problem' in parsed) throw new Error(parsed.problem)
      expect(parseFault(board, faultText(parsed.fault))).toEqual(parsed)
    }), { seed: 1, numRuns: 300 })
  })
  it('never throws, whatever is typed', () => {
    fc.assert(fc.property(fc.oneof(fc.string(), fc.tuple(fc.string(), fc.string()).map((two) => two.join(':'))), (text) => {
      const parsed = parseFault(board, text)
      expect('fault' in parsed || parsed.problem.length > 20).toBe(true)
    }), { seed: 2, numRuns: 500 })
  })
})

describe('what is wrong with a fault is said with the part and what is allowed', () => {
  it('not a fault at all', () => expect(problem('R4')).toBe('"R4" is not a fault. Write PART:FAULT, such as R4:open or D5:leaky=1200.'))
  it('no such part', () => expect(problem('R99:open')).toMatch(/^"R99:open": Vent driver node has no part R99\. Its parts are D1, R7,/))
  it('a kind the part cannot have', () =>
    expect(problem('R4:reversed')).toBe('"R4:reversed": R4 is a resistor, which cannot be "reversed". Choose from open, short (or short=0.5, in ohms), leaky=1200 (in ohms), drifted=2.2 (times its value).'))
  it('a part that gets none', () =>
    expect(problem('J1:open')).toBe('"J1:open": J1 is a connector, which gets no fault on the practice bench.'))
  it('a missing figure', () => expect(problem('D5:leaky')).toBe('"D5:leaky": leaky needs its ohms, above zero, such as D5:leaky=1200.'))
  it('a figure that is none', () => expect(problem('R3:drifted=-2')).toMatch(/needs a factor above zero/))
  it('a figure too many', () => expect(problem('R3:open=3')).toBe('"R3:open=3": open takes no figure. Write R3:open.'))
  it('an input that is not there', () => expect(problem('U2.Q:open')).toBe('"U2.Q:open": U2 has no input Q. Choose from A, B, VCC.'))
  it('a pin where none is told apart', () =>
    expect(problem('R4.1:open')).toBe('"R4.1:open": a fault of R4 is not limited to a pin. Write R4:open.'))
  it('all at once', () => expect(parseFaults(board, ['R4:open', 'X:open', 'J1:open'])).toEqual({ problems: [problem('X:open'),
    problem('J1:open')] }))
})

describe('an estimated figure', () => {
  const shorted = (ohms: number, spread?: number) => faultInWords({ ref: 'D1', pin: null, kind: 'short', ohms, ...(spread === undefined ? {} : { spread }) })
  const drifted = (factor: number, spread?: number) => faultInWords({ ref: 'R1', pin: null, kind: 'drifted', factor, ...(spread === undefined ? {} : { spread }) })
  const scales: Record<string, number> = { ' mΩ': 1e-3, ' Ω': 1, ' kΩ': 1e3, ' times': 1 }
  const figureIn = (words: string): number | null => { const found = /about ([\d.]+)( [mk]?Ω| times)/.exec(words); return found === null ? null : Number(found[1]) * (scales[found[2] ?? ''] ?? NaN) }

  it('is said to the digits it is known to, a stated one to three', () => {
    expect([shorted(0.491), shorted(0.491, 0.1), shorted(0.491, 0.04), shorted(0.491, 0.004), shorted(0.491, 1.3)]).toEqual(
      ['D1 is shorted (0.491 Ω)', 'D1 is shorted (about 0.5 Ω)', 'D1 is shorted (about 0.49 Ω)', 'D1 is shorted (about 0.491 Ω)', 'D1 is shorted'])
    expect([shorted(14.9, 0.3), shorted(10.4, 0.3), shorted(20_100, 0.3)]).toEqual(['D1 is shorted (about 15 Ω)', 'D1 is shorted (about 10 Ω)', 'D1 is shorted (about 20 kΩ)'])
  })
  it('of a drift says which way where one digit is known, and that alone where it may as well be none', () => {
    expect([drifted(1.537, 0.02), drifted(1.4, 0.1), drifted(1.47, 0.058), drifted(0.62, 0.1), drifted(1.04, 0.01), drifted(2.2)]).toEqual([
      'R1 has drifted to about 1.54 times its value', 'R1 has drifted up, to about 1.4 times its value', 'R1 has drifted up, to about 1.5 times its value',
      'R1 has drifted down, to about 0.6 times its value', 'R1 has drifted to about 1.04 times its value', 'R1 has drifted to 2.2 times its value'])
    expect([drifted(1.537, 0.5), drifted(0.4, 0.5), drifted(1.45, 0.2), drifted(1.04, 0.03), drifted(1.001)]).toEqual(
      ['R1 has drifted up', 'R1 has drifted down', 'R1 has drifted up', 'R1 has drifted up', 'R1 has drifted up'])
  })
  it('is never rounded by half its spread or more, nor a drift to once its value, whatever it is', () => {
    fc.assert(fc.property(fc.double({ min: Math.log(0.05), max: Math.log(1e5), noNaN: true }), fc.double({ min: 0.01, max: 0.34, noNaN: true }), (log, spread) => {
      const ohms = Math.exp(log)
      expect(Math.abs((figureIn(shorted(ohms, spread)) ?? NaN) / ohms - 1)).toBeLessThan(spread / 2)
      const factor = figureIn(drifted(ohms, spread))
      if (factor === null) return
      expect(factor).not.toBe(1)
      expect(Math.abs(factor / ohms - 1)).toBeLessThan(spread / 2)
    }), { seed: 3, numRuns: 2000 })
  })
  it('is of one fault with another no further off than the wider spread', () => {
    const drift = (factor: number, spread: number): Fault => ({ ref: 'R1', pin: null, kind: 'drifted', factor, spread })
    const leak = (ohms: number, spread?: number): Fault => ({ ref: 'D1', pin: null, kind: 'leaky', ohms, ...(spread === undefined ? {} : { spread }) })
    expect([sameWithinSpread(drift(1.58, 0.01), drift(1.6, 0.03)), sameWithinSpread(leak(400), leak(400)), sameWithinSpread({ ref: 'R1', pin: null, kind: 'open' }, { ref: 'R1', pin: null, kind: 'open' })]).toEqual([true, true, true])
    expect([sameWithinSpread(drift(1.58, 0.01), drift(1.6, 0.01)), sameWithinSpread(leak(400), leak(401)), sameWithinSpread(drift(1.1, 0.3), drift(0.9, 0.3)), sameWithinSpread(leak(400), { ref: 'D1', pin: null, kind: 'short', ohms: 400 })])
      .toEqual([false, false, false, false])
  })
})
