/** A fault that hides beside a base must hide wherever the readings leave the base. */
import { describe, expect, it } from 'vitest'
import { allowedPlacements, gaugesOf } from '../../../../src-core/circuit/diagnose/allowed-placements'
import type { Cell } from '../../../../src-core/circuit/diagnose/cells'
import { type Hypothesis, hypothesisOf } from '../../../../src-core/circuit/diagnose/hypothesis'
import { modelOf } from '../../../../src-core/circuit/diagnose/model'
import { allCells, sitesOf } from '../../../../src-core/circuit/diagnose/sites'
import { slotsOf } from '../../../../src-core/circuit/diagnose/slots'
import { staysHidden, surveyOf } from '../../../../src-core/circuit/diagnose/survey'
import type { Part } from '../../../../src-core/board/part'
import { genericDrives } from '../../../../src-core/circuit/meter-drive'
import { boardOf, resistor } from './small-boards'

/** Whether an open `ref` on a board of these parts, of which nothing was read yet, stays hidden. */
const openHides = (parts: Part[], ref: string, left: (slopes: Float64Array) => number): boolean => hides(parts, (one) => one.ref === ref && one.kind === 'open', left, false)

const hides = (parts: Part[], which: (cell: Cell) => boolean, left: (slopes: Float64Array) => number, isTaken: boolean): boolean => {
  const board = boardOf(parts)
  const sites = sitesOf(board, [])
  const cells = allCells(board, sites)
  const slots = slotsOf(board, cells, {}, 1)
  const model = modelOf(slots, genericDrives)
  const allowed = allowedPlacements(board)
  const base = hypothesisOf(model, [], [], new Float64Array(slots.unknowns.length)) as Hypothesis
  const cell = cells.find(which) as Cell
  return staysHidden(model, base, surveyOf(model, base, allowed, { further: [cell] }), allowed, gaugesOf(genericDrives), cell, cell.figure?.mean ?? 0, left, () => isTaken)
}
const nothing = (): number => 0

describe('an open resistor beside a smaller one', () => {
  const beside = (ohms: number): Part[] => [resistor('R1', 10_000, 'A', 'B'), resistor('R2', ohms, 'A', 'B')]
  // u is 1.5 % of the reading and 5 counts, as bounds: 0.87 % and more; 3 u about 2.7 %.
  it('hides where it makes less than 3 u of the reading', () => {
    expect([openHides(beside(1e6), 'R2', nothing), openHides(beside(2e5), 'R2', nothing)]).toEqual([true, false])
  })
  it('does not where what is left open of the other could show it', () => {
    const spread = (sd: number) => (slopes: Float64Array): number => slopes.reduce((sum, slope) => sum + (slope * sd) ** 2, 0)
    // 500 kΩ makes 2 % of the reading, and with it in place the reading follows R1 by 2 % less.
    expect([openHides(beside(5e5), 'R2', nothing), openHides(beside(5e5), 'R2', spread(0.03)), openHides(beside(5e5), 'R2', spread(0.6))]).toEqual([true, true, false])
  })
})

it('a short that hides at its likeliest figure does not while a greater one would show at a placement that was not taken', () => {
  const choke: Part = { ref: 'L1', kind: 'choke', windingOhms: 0.9, pins: { 1: 'A', 2: 'B', 3: 'C', 4: 'D' } }
  const isShort = ({ ref, kind, pin }: Cell): boolean => ref === 'L1' && kind === 'short' && pin === '1'
  // 0.5 Ω for 0.9 Ω lie within the 5 counts of 0.1 Ω that are not told apart; up to 5 Ω do not.
  expect([hides([choke], isShort, nothing, false), hides([choke], isShort, nothing, true)]).toEqual([false, true])
})
