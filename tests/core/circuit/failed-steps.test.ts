import { describe, expect, it } from 'vitest'
import { drawFaults } from '../../../src-core/circuit/draw-faults'
import { failedSteps } from '../../../src-core/circuit/failed-steps'
import { faultText } from '../../../src-core/circuit/faults'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { faultsOf, sampleBoard } from './sample'

const board = sampleBoard()
const failed = (...faults: string[]): string[] => failedSteps(board, faultsOf(board, ...faults))

describe('the sequence of the sample board', () => {
  it('fails nothing on a good board', () => expect(failed()).toEqual([]))

  it.each([
    ['D1:short', 'd1'], ['D1:leaky=5000', 'd1'], ['R7:open', 'r7'], ['R7:drifted=1.5', 'r7'], ['R4:open', 'r4'], ['R4:drifted=1.5', 'r4'],
    ['R3:open', 'r3'], ['R3:short', 'r3'], ['D4:short', 'd4-forward'], ['D4:open', 'd4-forward'], ['D4:reversed', 'd4-reverse'],
      ['D4:leaky=1200', 'd4-reverse'],
    ['D5:short', 'd5-reverse'], ['D5:open', 'd5-forward'], ['D5:reversed', 'd5-forward'], ['T1.1:open', 't1-a'], ['T1.3:short', 't1-b'],
    ['R5:open', 'r5'], ['R6:drifted=0.5', 'r6'], ['U2.A:short', 'u2-a'], ['U2.B:open', 'u2-b'], ['U2.B:leaky=3000', 'u2-b'],
      ['U2.VCC:short', 'rail-5v'],
    ['F1:open', 'f1'], ['D2:short', 'd2-forward'], ['D2:open', 'd2-forward'], ['D2:reversed', 'd2-reverse'], ['D3:short', 'supply-pair'],
    ['D3:leaky=2000', 'supply-pair'], ['C8:short', 'supply-pair'], ['R9:open', 'supply-pair'], ['U1:open', 'rail-5v'],
      ['U1.IN:short', 'supply-pair'],
    ['U1.OUT:leaky=800', 'rail-5v'], ['C9:short', 'rail-5v'],
  ])('%s fails at least %s', (fault, step) => expect(failed(fault)).toContain(step))

  it.each([
    ['D1:open', 'a two-way protector that failed open reads like a good board everywhere'],
    ['C8:open', 'an open capacitor does not show in these readings'], ['C9:open', 'an open capacitor does not show in these readings'],
    ['T1:leaky=1200', 'a leak beside a few ohms is nothing'],
    ['D3:open', 'the diode inside U1 stands in for it'],
  ])('%s is masked: %s', (fault) => expect(failed(fault)).toEqual([]))

  it('a clamp that opened shows once the diode inside the IC beside it is gone too', () => expect(failed('D3:open', 'U1.IN:open')).toContain('d3-forward'))

  it('two faults at once fail what each of them fails', () =>
    expect(failed('R4:open', 'D5:short')).toEqual(expect.arrayContaining(['r4', 'd5-forward'])))
})

describe('the hidden fault', () => {
  it('is the same for the same seed', () => expect(drawFaults(board, seededRandom(7))).toEqual(drawFaults(board, seededRandom(7))))
  it('always fails at least one step, and many kinds of it are drawn', () => {
    const drawn = Array.from({ length: 200 }, (_, seed) => drawFaults(board, seededRandom(seed)))
    for (const faults of drawn) {
      expect(faults).toHaveLength(1)
      expect(failedSteps(board, faults)).not.toEqual([])
    }
    expect(new Set(drawn.flat().map((fault) => `${fault.ref} ${fault.kind}`)).size).toBeGreaterThan(15)
    for (const fault of drawn.flat()) expect(failed(faultText(fault))).not.toEqual([])
  })
  it('is none on a board whose sequence measures nothing', () => {
    const blind = { ...board, sequence: { ...board.sequence, steps: board.sequence.steps.filter((step) => step.kind !== 'measure') } }
    expect(drawFaults(blind, seededRandom(1))).toEqual([])
  })
  it('is any on a board that leaves all its limits to be computed', () => {
    const steps = board.sequence.steps.map((step) => (step.kind === 'measure' ? { ...step, limits: undefined } : step))
    expect(drawFaults({ ...board, sequence: { ...board.sequence, steps } }, seededRandom(1))).toHaveLength(1)
  })
})
