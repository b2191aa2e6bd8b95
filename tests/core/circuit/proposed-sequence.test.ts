import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { coveringSet } from '../../../src-core/circuit/coverage'
import { netPlacements } from '../../../src-core/circuit/net-placements'
import { leadMoves, probingOrder } from '../../../src-core/circuit/probing-order'
import { proposedSequence } from '../../../src-core/circuit/proposed-sequence'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { checkProposed, limitsSeed as seed, shownBy } from './proposed-checks'
import { scoredBoards } from './score/boards'

const boards = scoredBoards(fileURLToPath(new URL('../../..', import.meta.url)))
/** The larger boards are for proposed-sequence.long.ts. */
const mostParts = 20
for (const board of boards.filter(({ parts }) => parts.length <= mostParts)) checkProposed(board)

const node = boards.find(({ id }) => id === 'vent-driver-node') ?? boards[0]
if (node === undefined) throw new Error('There are no sample boards.')

it('names the net that no tip reaches', () => {
  const line = { ...node, nets: ['A_IN', 'A', 'TERM'], parts: node.parts.filter(({ ref }) => ref === 'R4' || ref === 'R7') }
  const { untested } = proposedSequence({ ...line, testPoints: node.testPoints.filter(({ net }) => net === 'A_IN' || net === 'A') }, seededRandom(seed))
  expect(untested).toEqual([
    { ref: 'R7', pin: null, kinds: ['open', 'short', 'leaky', 'drifted'], because: 'No tip reaches TERM: there is no test point.' },
    { ref: 'R4', pin: null, kinds: ['leaky'], because: 'It shows most from J1.1 to R4.2 in resistance, 215 Ω, where a good board reads 210 Ω to 231 Ω.' },
  ])
})

it('a clamp with nothing beside it is tested whole', () => {
  const bare = { ...node, nets: ['A', 'GND'], testPoints: node.testPoints.filter(({ net }) => net === 'A' || net === 'GND'), parts: node.parts.filter(({ ref }) => ref === 'D4') }
  const { sequence, untested } = proposedSequence(bare, seededRandom(seed))
  expect(untested).toEqual([])
  expect(shownBy(bare, sequence)).toEqual(['D4:open', 'D4:short', 'D4:leaky=100', 'D4:leaky=1000', 'D4:leaky=10000', 'D4:reversed'])
})

it('refuses a board on which nothing can be shown, and says what to do', () => {
  expect(() => proposedSequence({ ...node, testPoints: node.testPoints.slice(0, 1) }, seededRandom(seed))).toThrow(/1 nets with a test point\. Add test points/)
})

it('what can be read otherwise is not read twice: no step of a cover is needless', () => {
  const shows = [[1, 1, 0, 0], [0, 1, 1, 0], [0, 0, 1, 1], [0, 0, 0, 1]].map((row) => ({ shows: Uint8Array.from(row) }))
  expect(coveringSet(shows, 4, () => 0)).toEqual([1, 3])
})

it('orders placements with no more lead moves than any other order of them (all orders of six)', () => {
  const orders = <T>(all: readonly T[]): T[][] => (all.length < 2 ? [[...all]] : all.flatMap((one, at) => orders([...all.slice(0, at), ...all.slice(at + 1)]).map((rest) => [one, ...rest])))
  const random = seededRandom(4)
  const ohms = netPlacements(node).filter(({ function: what }) => what === 'resistance')
  for (let turn = 0; turn < 20; turn += 1) {
    const six = Array.from({ length: 6 }, () => ohms[Math.floor(random() * ohms.length)]).flatMap((one) => one ?? [])
    const found = probingOrder(six.map((one) => [one]))
    const best = Math.min(...orders(six).map(leadMoves))
    // Nearest first and 2-opt do not promise the best: one move more is let pass.
    expect(leadMoves(found)).toBeLessThanOrEqual(best + 1)
    expect(new Set(found)).toEqual(new Set(six))
    expect(found.length).toBe(six.length)
  }
})
