/** The practice bench beside a good board, byte for byte: both proven, every step on both, and a fault found by the difference. */
import { describe, expect, it } from 'vitest'
import type { BoardType } from '../../../src-core/board/board-type'
import { withoutLimits } from '../../../src-core/circuit/computed-limits'
import { betweenBoards } from '../../../src-core/run/known-good'
import { practise, type Practised } from './practise'
import { sampleBoard } from './shipped'

/** The sample board without the limits of the steps whose parts have a stated tolerance: there the good board beside it judges. */
const board = ((): BoardType => {
  const whole = sampleBoard()
  const bare = withoutLimits(whole).sequence.steps
  return { ...whole, sequence: { ...whole.sequence, steps: whole.sequence.steps.map((step, at) => (step.kind === 'measure' && betweenBoards(whole, step).stated ? bare[at] ?? step : step)) } }
})()
const play = (faults: string[], seed: number): Practised => practise(faults, seed, undefined, 600, board, undefined, true)
const failed = ({ bench }: Practised): string[] => bench.run.events.flatMap((event) => (event.kind === 'decided' && event.verdict === 'fail' && !event.step.startsWith('prepare/') ? [event.step] : []))

describe('the technician beside a good board', () => {
  const good = play([], 7)
  it('proves both boards, and makes every step first on the good one', () => {
    const { events } = good.bench.run
    const stores = board.energyStores.flatMap(({ id }) => [`prepare/store/${id}`, `prepare/good-board/store/${id}`])
    expect(stores.filter((id) => good.bench.run.steps[id]?.decided?.verdict !== 'pass')).toEqual([])
    const touches = events.flatMap((event) => ((event.kind === 'captured' && !event.step.startsWith('prepare/')) || event.kind === 'compared' ? [`${event.kind} ${event.step}`] : []))
    const steps = board.sequence.steps.flatMap(({ id, kind }) => (kind === 'measure' ? [id] : []))
    expect(touches).toEqual(steps.flatMap((id) => [`compared ${id}`, `captured ${id}`]))
  })
  it('passes another good board, whose parts lie elsewhere in their tolerances', () => {
    expect([good.bench.run.ended?.verdict, failed(good), good.refusals]).toEqual(['pass', [], []])
    const figures = Object.values(good.bench.run.steps).flatMap(({ compared: [first], captured: [touch] }) => (typeof first?.value === 'number' && typeof touch?.value === 'number' ? [touch.value === first.value] : []))
    expect(figures.length > 5 && figures.includes(false)).toBe(true)
  })
  it.each<[string, string]>([['R4:open', 'r4'], ['R3:drifted=2.2', 'r3']])('%s is found at %s by the difference, and nowhere else', (fault, step) => {
    const run = play([fault], 7)
    expect([run.bench.run.ended?.verdict, failed(run)]).toEqual(['fail', [step]])
    const own = run.bench.run.steps[step]
    const stands = own?.compared.at(-1)
    expect(stands?.outcome).toBe('stands')
    expect(stands?.limits).not.toBeNull()
    expect(own?.captured.at(-1)?.limits).toEqual(stands?.limits)
    expect(run.bench.run.ended?.because).toContain('Held to a good board measured beside it: ')
  })
})
