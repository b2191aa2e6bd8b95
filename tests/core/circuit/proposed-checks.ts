/** What a proposed sequence keeps on any board. */
import { describe, expect, it } from 'vitest'
import type { BoardType, MeasureStep } from '../../../src-core/board/board-type'
import { checkBoard } from '../../../src-core/board/check'
import { expectedInside, failedSteps } from '../../../src-core/circuit/failed-steps'
import { faultText } from '../../../src-core/circuit/faults'
import { networkOf } from '../../../src-core/circuit/network'
import { dialTurns, leadMoves } from '../../../src-core/circuit/probing-order'
import { type ProposedSequence, proposedSequence } from '../../../src-core/circuit/proposed-sequence'
import { read, readerOf } from '../../../src-core/circuit/read'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { drawSpread } from '../../../src-core/circuit/spread'
import { usualFaults } from '../../../src-core/circuit/usual-faults'
import { limitsOf } from './sample'

/** Seed of the limits; the good boards they are tried on have others. */
export const limitsSeed = 20_260
const proposedFor = new Map<BoardType, ProposedSequence>()
const propose = (board: BoardType): ProposedSequence => {
  const known = proposedFor.get(board) ?? proposedSequence(board, seededRandom(limitsSeed))
  proposedFor.set(board, known)
  return known
}
export const measured = ({ sequence }: { sequence: BoardType['sequence'] }): MeasureStep[] => sequence.steps.filter((step) => step.kind === 'measure')
export const shownBy = (board: BoardType, sequence: BoardType['sequence']): string[] =>
  usualFaults(board).filter((fault) => failedSteps({ ...board, sequence }, [fault]).length > 0).map(faultText)

export const checkProposed = (board: BoardType): void => { describe(`${board.id} ${board.revision}`, () => {
  it('a board file with it is sound, and the same numbers propose the same', () => {
    const { sequence } = propose(board)
    expect(checkBoard(JSON.parse(JSON.stringify({ ...board, sequence })), 'board.json')).not.toHaveProperty('problems')
    expect(measured({ sequence }).length).toBe(sequence.steps.length)
  })
  it('shows at least as many single faults as the sequence made by hand, and as many as it says', () => {
    const proposed = propose(board)
    const shown = shownBy(board, proposed.sequence)
    expect(shown.length).toBe(proposed.shown)
    expect(usualFaults(board).length).toBe(proposed.faults)
    expect(shown.length).toBeGreaterThanOrEqual(shownBy(board, board.sequence).length)
  })
  it('turns the dial no more often than the sequence made by hand, and moves the leads less a step', () => {
    const proposed = propose(board)
    const net = (id: string): string => board.testPoints.find((point) => point.id === id)?.net ?? ''
    const onNets = (steps: MeasureStep[]): Parameters<typeof leadMoves>[0] =>
      steps.map(({ red, black, function: what }) => ({ red: net(red), black: net(black), function: what === 'diode' ? 'diode' : 'resistance' }))
    const [own, byHand] = [measured(proposed), measured(board)]
    expect(proposed.dialTurns).toBe(dialTurns(own))
    expect(proposed.dialTurns).toBeLessThanOrEqual(dialTurns(byHand))
    expect(proposed.leadMoves).toBe(leadMoves(onNets(own)))
    expect(proposed.leadMoves / own.length).toBeLessThanOrEqual(leadMoves(onNets(byHand)) / byHand.length)
  })
  it('a good board passes every step, wherever in their tolerances its parts lie, from 15 °C to 35 °C (300 boards)', () => {
    const steps = measured(propose(board))
    const net = (id: string): string => board.testPoints.find((point) => point.id === id)?.net ?? ''
    const bad = new Set<string>()
    for (let drawn = 0; drawn < 300; drawn += 1) {
      const random = seededRandom(drawn)
      const reader = readerOf(networkOf(board, [], { spread: drawSpread(board, random), celsius: 15 + 20 * random() }))
      for (const step of steps) {
        const found = read(reader, net(step.red), net(step.black), step.function)
        if (!found.ok || !expectedInside(limitsOf(step), found.value, step.function)) bad.add(`${step.id}, seed ${drawn}`)
      }
    }
    expect([...bad]).toEqual([])
  })
  it('every part with a fault that does not show is named with a reason, and no other', () => {
    const { sequence, untested } = propose(board)
    const shown = new Set(shownBy(board, sequence))
    const key = (ref: string, pin: string | null, kind: string): string => `${ref} ${pin ?? ''} ${kind}`
    const unseen = new Set(usualFaults(board).filter((fault) => !shown.has(faultText(fault))).map(({ ref, pin, kind }) => key(ref, pin, kind)))
    expect(new Set(untested.flatMap(({ ref, pin, kinds }) => kinds.map((kind) => key(ref, pin, kind))))).toEqual(unseen)
    for (const { because } of untested) expect(because).toMatch(/^(It shows most from .+ where a good board reads .+|A capacitor carries no direct current: .+|It reads like a good board .+|No tip reaches .+)\.$/)
  })
}) }
