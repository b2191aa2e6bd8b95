/** Board files with one mistake planted in them, held against simulated good boards of the right file. */
import type { BoardType } from '../../../src-core/board/board-type'
import { genericDrives } from '../../../src-core/circuit/meter-drive'
import { networkOf } from '../../../src-core/circuit/network'
import { allowedFaults } from '../../../src-core/circuit/faults'
import { onScale } from '../../../src-core/circuit/placement-readings'
import { read, readerOf } from '../../../src-core/circuit/read'
import { type Random, seededRandom } from '../../../src-core/circuit/seeded-random'
import { drawSpread } from '../../../src-core/circuit/spread'
import type { MeasuredValue, MeterFunction } from '../../../src-core/meter/reading'
import { checkBoardFile, type FileCheck, type GoodBoardReadings } from '../../../src-core/shop/check-board-file'
import { valueMayBeWrong } from '../../../src-core/shop/file-mistakes'
import { drawGains, genericMeter, shownOf } from '../circuit/score/bench-meter'
import { scoredBoards } from '../circuit/score/boards'

export type Planted = { kind: 'wrong value' | 'missing net' | 'swapped diode'; ref: string; nets: string[]; file: BoardType }
export type Case = { board: BoardType; planted: Planted; found: FileCheck; pointedAt: boolean; unseen: number }

const boards = scoredBoards('.')
const good = 3
/** A reading moves at least so far in its logarithm, or from a figure to open: smaller than that no meter of 1.5 % sees it among parts of 5 %. */
const visible = 0.15

const pick = <T>(list: readonly T[], random: Random): T => {
  const found = list[Math.floor(random() * list.length)]
  if (found === undefined) throw new RangeError('There is nothing to draw from.')
  return found
}
const withPart = (board: BoardType, ref: string, change: (part: BoardType['parts'][number]) => BoardType['parts'][number]): BoardType =>
  ({ ...board, parts: board.parts.map((part) => (part.ref === ref ? change(part) : part)) })

const plant = (board: BoardType, kind: Planted['kind'], random: Random): Planted | null => {
  switch (kind) {
    case 'wrong value': {
      const parts = board.parts.filter((part) => part.value !== undefined && valueMayBeWrong(part) && part.kind !== 'ic')
      if (parts.length === 0) return null
      const part = pick(parts, random)
      const factor = pick([0.001, 0.01, 0.1, 0.22, 0.47, 2.2, 4.7, 10, 100, 1000], random)
      return { kind, ref: part.ref, nets: [], file: withPart(board, part.ref, (one) => ({ ...one, value: (one.value ?? 1) * factor })) }
    }
    case 'swapped diode': {
      const parts = board.parts.filter((part) => allowedFaults(part.kind).includes('reversed'))
      if (parts.length === 0) return null
      const part = pick(parts, random)
      return { kind, ref: part.ref, nets: [], file: withPart(board, part.ref, (one) => ({ ...one, pins: { ...one.pins, anode: one.pins.cathode ?? '', cathode: one.pins.anode ?? '' } })) }
    }
    case 'missing net': {
      const part = pick(board.parts.filter(({ kind: what }) => what !== 'connector'), random)
      const pin = pick(Object.keys(part.pins), random)
      const net = part.pins[pin] ?? ''
      const apart = `${net}_2`
      return { kind, ref: part.ref, nets: [net, apart], file: { ...withPart(board, part.ref, (one) => ({ ...one, pins: { ...one.pins, [pin]: apart } })), nets: [...board.nets, apart] } }
    }
  }
}

type Placement = { red: string; black: string; function: MeterFunction }

const placementsOf = (board: BoardType): Placement[] => board.sequence.steps.flatMap((step) =>
  (step.kind === 'measure' && step.powered !== true && ['resistance', 'continuity', 'diode', 'capacitance'].includes(step.function) ? [{ red: step.red, black: step.black, function: step.function }] : []))

const netOf = (board: BoardType, id: string): string => board.testPoints.find((point) => point.id === id)?.net ?? ''

const readings = (board: BoardType, placements: readonly Placement[], options: Parameters<typeof networkOf>[2] = {}): number[] => {
  const reader = readerOf(networkOf(board, [], options))
  return placements.map(({ red, black, function: what }) => {
    const found = read(reader, netOf(board, red), netOf(board, black), what, genericDrives)
    return !found.ok ? NaN : found.value === 'overload' ? Infinity : found.value
  })
}

const isVisible = (right: readonly number[], filed: readonly number[], placements: readonly Placement[]): boolean => right.some((value, at) => {
  const other = filed[at] ?? NaN
  if (Number.isNaN(value) || Number.isNaN(other)) return false
  if (value === Infinity || other === Infinity) return value !== other
  const what = placements[at]?.function ?? 'resistance'
  return Math.abs(onScale(value, what) - onScale(other, what)) > visible
})

/** Three good boards on one bench: parts drawn within their tolerances, one meter with its gain errors, the temperature of the day. */
const goodBoards = (board: BoardType, placements: readonly Placement[], random: Random): GoodBoardReadings[] => {
  const gains = drawGains(genericMeter, random)
  const each = Array.from({ length: good }, () => readings(board, placements, { spread: drawSpread(board, random), celsius: 18 + 8 * random() }))
  return placements.map((at, index) => ({
    ...at, U: null, values: each.map((own): MeasuredValue => {
      const value = own[index] ?? NaN
      return value === Infinity || Number.isNaN(value) ? 'overload' : shownOf(genericMeter, gains, at.function, value, random)
    }),
  }))
}

/** The planted part, or the nets that were taken apart, is among what is pointed at, and that is at most `most` suspects. */
const pointsAt = ({ suspects }: FileCheck, { ref, nets }: Planted, most: number): boolean =>
  suspects.length > 0 && suspects.length <= most && suspects.some(({ mistake }) =>
    (mistake.kind === 'joined' ? nets.length === 2 && mistake.nets.every((net) => nets.includes(net)) : mistake.ref === ref))

export const mostSuspects = 5

/** The case of this seed: boards in turn, the three kinds of mistake in turn. A mistake that changes no reading of the sequence is drawn again, and counted in `unseen`. */
export const plantedCase = (seed: number): Case => {
  const random = seededRandom(seed)
  const board = boards[seed % boards.length]
  if (board === undefined) throw new RangeError('There are no boards.')
  const kinds = (['wrong value', 'missing net', 'swapped diode'] as const)
  const placements = placementsOf(board)
  const right = readings(board, placements)
  for (let unseen = 0; ; unseen += 1) {
    const planted = plant(board, kinds[(Math.floor(seed / boards.length) + unseen) % 3] ?? 'wrong value', random)
    if (planted === null || !isVisible(right, readings(planted.file, placements), placements)) continue
    const found = checkBoardFile(planted.file, goodBoards(board, placements, random))
    return { board, planted, found, pointedAt: pointsAt(found, planted, mostSuspects), unseen }
  }
}

/** Good boards against the right file. */
export const rightCase = (seed: number): FileCheck => {
  const random = seededRandom(seed)
  const board = boards[seed % boards.length]
  if (board === undefined) throw new RangeError('There are no boards.')
  return checkBoardFile(board, goodBoards(board, placementsOf(board), random))
}
