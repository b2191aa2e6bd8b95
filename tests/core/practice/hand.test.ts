import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { hand, handMisfit, inTheAir, leadPlaced, leadPlaces, nextLead, sameTips, type Tips } from '../../../src-core/practice/hand'
import { sampleBoard } from '../circuit/sample'

const on = (red: string | null, black: string | null): Tips => ({ leads: { red, black } })
const diode = (reversed = false): Tips => ({ fixture: 'known-diode', reversed })
const places = ['J1.1', 'J1.2', '@anode', '@cathode', '@plus', '@minus']
const anyTips: fc.Arbitrary<Tips> = fc.oneof(
  fc.constant<Tips>('lifted'),
  fc.tuple(fc.option(fc.constantFrom(...places)), fc.option(fc.constantFrom(...places))).map(([red, black]) => on(red, black)),
  fc.tuple(fc.constantFrom('leads-joined' as const, 'leads-apart' as const, 'known-diode' as const, 'known-source' as const), fc.boolean()).map(([fixture, reversed]) => ({ fixture, reversed })))

describe('one lead after the other', () => {
  it('red goes down first, then black, and the next touch is a new one that begins with red', () => {
    const one = leadPlaced('lifted', 'J1.1')
    const both = leadPlaced(one, 'J1.2')
    expect([one, both, leadPlaced(both, 'R4.2')]).toEqual([on('J1.1', null), on('J1.1', 'J1.2'), on('R4.2', null)])
  })
  it('black may go first when it is chosen', () => {
    const black = leadPlaced('lifted', 'J1.2', 'black')
    expect([black, nextLead(black), leadPlaced(black, 'J1.1')]).toEqual([on(null, 'J1.2'), 'red', on('J1.1', 'J1.2')])
  })
  it('a lead that alone is down may be moved', () => expect(leadPlaced(on('J1.1', null), 'R4.2', 'red')).toEqual(on('R4.2', null)))
  it('both on the ends of the known diode is the known diode, either way round', () => {
    expect(leadPlaced(leadPlaced('lifted', '@anode'), '@cathode')).toEqual(diode())
    expect(leadPlaced(leadPlaced('lifted', '@cathode'), '@anode')).toEqual(diode(true))
    expect(leadPlaces(diode(true))).toEqual({ red: '@cathode', black: '@anode' })
  })
  it('the tips held together take both', () => expect(leadPlaced(on('J1.1', null), '@together')).toEqual({ fixture: 'leads-joined', reversed: false }))
  it('after any two touches both leads are where they were put, and no touch leaves a half-moved placement', () => {
    fc.assert(fc.property(anyTips, fc.constantFrom(...places), fc.constantFrom(...places), (before, first, second) => {
      const one = leadPlaced(before, first)
      const wasDown = leadPlaces(before).red !== null && leadPlaces(before).black !== null
      if (wasDown) expect(inTheAir(one)).toBe(true)
      const lifted = leadPlaced(leadPlaced('lifted', first), second)
      expect(leadPlaces(lifted)).toEqual({ red: first, black: second })
    }), { seed: 1, numRuns: 300 })
  })
})

describe('what joins the leads', () => {
  it('nothing with one lead off, or with one on the board and one on a fixture', () => {
    expect(['lifted' as const, on('J1.1', null), on(null, 'J1.1'), on('J1.1', '@anode'), on('@anode', '@plus'), { fixture: 'leads-apart' as const, reversed: false }].map(inTheAir)).toEqual([true, true, true, true, true, true])
  })
  it('two points of the board, one point under both, a fixture', () =>
    expect([on('J1.1', 'J1.2'), on('J1.1', 'J1.1'), on('@anode', '@anode'), diode(), { fixture: 'leads-joined' as const, reversed: false }].map(inTheAir)).toEqual([false, false, false, false, false]))
  it('tips are the same as themselves, and what a message carries comes back the same', () => {
    fc.assert(fc.property(anyTips, (tips) => {
      expect(sameTips(tips, tips)).toBe(true)
      expect(hand.parse(JSON.parse(JSON.stringify({ tips, function: 'diode' })))).toEqual({ tips, function: 'diode' })
    }), { seed: 2, numRuns: 200 })
  })
})

describe('what the hand cannot do is said', () => {
  const board = sampleBoard()
  it.each<[Tips, RegExp | null]>([
    ['lifted', null], [on('J1.1', 'R4.2'), null], [on('J1.1', null), null], [diode(true), null], [on('@plus', 'J1.1'), null],
    [on('X9', 'J1.1'), /^Vent driver node has no test point X9; no lead can go there\.$/], [on('J1.1', '@moon'), /no test point @moon/],
  ])('%j', (tips, words) => {
    const misfit = handMisfit(board, ['diode'], { tips, function: 'diode' })
    if (words === null) expect(misfit).toBeNull()
    else expect(misfit).toMatch(words)
  })
  it('a dial without that position', () => expect(handMisfit(board, ['diode', 'resistance'], { tips: 'lifted', function: 'capacitance' })).toBe('The dial of this meter has no capacitance. It has diode, resistance.'))
})
