import { describe, expect, it } from 'vitest'
import { handView, handViewOf } from '../../../src-core/practice/hand-view'
import type { Hand } from '../../../src-core/practice/hand'
import type { BenchView } from '../../../src-core/run/view'
import { sampleBoard } from '../circuit/sample'

type Step = NonNullable<BenchView['step']>
const board = sampleBoard('soil-relay')
const dial = ['dc-voltage', 'resistance', 'diode'] as const
const step = (change: Partial<Step>): Step => ({
  id: 's', number: 1, of: 2, title: 's', kind: 'measure', prompt: [], where: '', caution: null, function: 'resistance', red: null, black: null, fixture: null, reversed: false, limits: '', scale: null, typed: null, ...change,
})
const point = (testPoint: string) => ({ testPoint, x: 1, y: 1, words: testPoint })
const k1 = step({ red: point('K1.1'), black: point('K1.2') })
const view = (of: Step | null, hand: Hand) => handViewOf(board, of, hand, dial)
const keys = (of: Step | null, hand: Hand) => view(of, hand).keys.map(({ key, does }) => `${key} ${does}`)

describe('the hand as a screen shows it', () => {
  it('offers what is needed: leads as asked, the dial, and always the choice of the lead', () =>
    expect(keys(k1, { tips: 'lifted', function: 'diode' })).toEqual(['A leads as asked', 'D dial to resistance', '1 red', '2 black']))
  it('with leads and dial as asked only lifting is left', () =>
    expect(keys(k1, { tips: { leads: { red: 'K1.1', black: 'K1.2' } }, function: 'resistance' })).toEqual(['L lift', '1 red', '2 black']))
  it('leads exchanged are not as asked', () =>
    expect(keys(k1, { tips: { leads: { red: 'K1.2', black: 'K1.1' } }, function: 'resistance' })).toContain('A leads as asked'))
  it('leads apart is lifted: nothing to place', () => {
    const apart = view(step({ fixture: 'leads-apart' }), { tips: 'lifted', function: 'resistance' })
    expect([apart.asked, apart.places, apart.keys.map(({ action }) => action)]).toEqual([{ tips: 'lifted', function: 'resistance' }, [], ['red', 'black']])
  })
  it('a step that looks or does something asks nothing of the leads, though it may show two points', () =>
    expect(view(step({ kind: 'do', function: null, red: point('C1.1'), black: point('C1.2') }), { tips: 'lifted', function: 'diode' }).asked).toBeNull())
  it('has every test point of the board as a place, each with its words', () =>
    expect(view(k1, { tips: 'lifted', function: 'diode' }).places.map(({ id, words }) => [id, words])).toEqual(board.testPoints.map(({ id, words }) => [id, words])))
  it.each([['known-diode', ['@anode', '@cathode']], ['known-source', ['@plus', '@minus']], ['leads-joined', ['@together']]] as const)('%s: its ends are the places', (fixture, ids) =>
    expect(view(step({ fixture }), { tips: 'lifted', function: 'diode' }).places.map(({ id }) => id)).toEqual(ids))
  it('says where each lead is, and which goes next', () =>
    expect(view(k1, { tips: { leads: { red: 'K1.1', black: null } }, function: 'diode' })).toMatchObject({ red: 'K1.1', black: null, next: 'black' }))
  it('the dial has the position it stands at, whatever the run needs', () =>
    expect(view(k1, { tips: 'lifted', function: 'frequency' }).dial.map(({ words }) => words)).toEqual(['frequency', 'DC volts', 'resistance', 'diode test']))
  it('goes through the contract as it is', () => {
    const one = view(k1, { tips: 'lifted', function: 'diode' })
    expect(handView.parse(one)).toEqual(one)
  })
})
