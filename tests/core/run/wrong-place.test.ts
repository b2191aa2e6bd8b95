/** How often rule 10 asks in vain, and what it names: the solver's readings of good and faulty practice boards, by seed. */
import { describe, expect, it } from 'vitest'
import type { MeasureStep } from '../../../src-core/board/board-type'
import { drawFaults } from '../../../src-core/circuit/draw-faults'
import { readsAcross } from '../../../src-core/circuit/expected-reading'
import { expectedInside } from '../../../src-core/circuit/failed-steps'
import { faultText, type Fault } from '../../../src-core/circuit/faults'
import { networkOf } from '../../../src-core/circuit/network'
import { placementReadings } from '../../../src-core/circuit/placement-readings'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { drawSpread } from '../../../src-core/circuit/spread'
import { looksLike, type Earlier } from '../../../src-core/run/wrong-place'
import { limitedBoard, limitsOf, shippedBoards } from '../circuit/sample'

const prepared = shippedBoards.map((folder) => {
  const board = limitedBoard(folder)
  const table = placementReadings(board)
  const steps = board.sequence.steps.filter((step): step is MeasureStep => step.kind === 'measure' && table.steps.includes(step.id))
  const net = (id: string): string => board.testPoints.find((point) => point.id === id)?.net ?? ''
  const functionOf = (id: string) => steps.find((step) => step.id === id)?.function ?? 'resistance'
  return { folder, board, table, steps, net, functionOf }
})
type Prepared = (typeof prepared)[number]

/** Every step in its order, with the leads where they belong: the failing figures, and those that are asked about. */
const onRightPlaces = ({ board, table, steps, net, functionOf }: Prepared, faults: readonly Fault[], seed: number): { failing: number; asked: string[] } => {
  const network = networkOf(board, faults, { spread: drawSpread(board, seededRandom(seed)) })
  const earlier: Earlier[] = []
  const asked: string[] = []
  let failing = 0
  for (const step of steps) {
    const found = readsAcross(network, net(step.red), net(step.black), step.function)
    if (!found.ok) throw new Error(found.because)
    const passed = expectedInside(limitsOf(step), found.value, step.function)
    const figure = !passed && found.value !== 'overload' ? found.value : null
    if (figure !== null) {
      failing += 1
      if (looksLike(table, step.id, figure, earlier, functionOf) !== null) asked.push(`${step.id}: ${faults.map(faultText).join(', ')}, seed ${seed}`)
    }
    earlier.push({ step: step.id, passed, value: figure })
  }
  return { failing, asked }
}

describe.each(prepared)('$folder, leads where they belong', (own) => {
  it('asks nothing on good boards, seeds 1 to 100: none of their values fails', () => {
    for (let seed = 1; seed <= 100; seed += 1) expect(onRightPlaces(own, [], seed)).toEqual({ failing: 0, asked: [] })
  })
  it('asks nothing on faulty practice boards, seeds 1 to 100', () => {
    const runs = Array.from({ length: 100 }, (_, at) => onRightPlaces(own, drawFaults(own.board, seededRandom(at + 1)), at + 1))
    expect(runs.reduce((sum, { failing }) => sum + failing, 0)).toBeGreaterThan(100)
    expect(runs.flatMap(({ asked }) => asked)).toEqual([])
  })
  it('at seeds it was not tuned on, 1001 to 1200, what it asks in vain are values that coincide with a good neighbour’s: at most 1 of 50 failing figures', () => {
    const runs = Array.from({ length: 200 }, (_, at) => onRightPlaces(own, drawFaults(own.board, seededRandom(at + 1001)), at + 1001))
    const failing = runs.reduce((sum, one) => sum + one.failing, 0)
    expect(runs.flatMap(({ asked }) => asked).length / failing).toBeLessThan(0.02)
  })
})

describe.each(prepared)('$folder, leads on a neighbouring placement of a good board', ({ board, table, steps, net, functionOf }) => {
  it('more than half of the failing figures are named, and more than four fifths of those with the leads where the step before or after wants them', () => {
    const count = { failing: 0, named: 0 }
    const beside = { failing: 0, named: 0 }
    for (let seed = 9001; seed <= 9010; seed += 1) {
      const network = networkOf(board, [], { spread: drawSpread(board, seededRandom(seed)) })
      steps.forEach((step, at) => (table.neighbours[at] ?? []).forEach((place) => {
        const found = readsAcross(network, net(place.red), net(place.black), step.function)
        if (!found.ok || found.value === 'overload' || expectedInside(limitsOf(step), found.value, step.function)) return
        const named = looksLike(table, step.id, found.value, steps.slice(0, at).map(({ id }) => ({ step: id, passed: true, value: null })), functionOf) !== null
        for (const one of place.step !== null && place.weight > 2 ? [count, beside] : [count]) { one.failing += 1; one.named += named ? 1 : 0 }
      }))
    }
    expect([count.failing > 500, count.named / count.failing > 0.5]).toEqual([true, true])
    expect(beside.named / beside.failing).toBeGreaterThan(0.8)
  })
})
