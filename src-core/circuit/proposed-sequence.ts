/** A sequence from the parts: which placements show every single fault that can be shown, in an order that is quick to probe, and what stays untested. */
import type { BoardType, MeasureStep, Part } from '../board/board-type'
import type { Limits } from '../metrology/limits'
import { coveringSet, readingsWith, type ShownFault, shownFaults } from './coverage'
import { allowedFaults, type FaultKind } from './faults'
import { goodLimits } from './good-limits'
import { genericDrives, type MeterDrives } from './meter-drive'
import { type NetPlacement, netPlacements, reachableNets, tipFor } from './net-placements'
import { networkOf } from './network'
import { dialTurns, leadMoves, probingOrder } from './probing-order'
import type { Random } from './seeded-random'
import { usualFaults } from './usual-faults'
import { whyUntested } from './why-untested'

/** Good boards drawn for the limits that the placements are chosen by; those chosen get theirs from more. */
const firstDraws = 30

export type ProposedSequence = {
  sequence: BoardType['sequence']
  /** Single faults at usual figures: how many there are, and how many a step shows. */
  faults: number
  shown: number
  /** Parts of which no fault is shown, or not every one, each with the reason. */
  untested: { ref: string; pin: string | null; kinds: FaultKind[]; because: string }[]
  dialTurns: number
  /** Tips moved from the first step on. */
  leadMoves: number
}

/** Parts of which an element lies between the two nets. */
const partsAcross = (board: BoardType): ((at: NetPlacement) => Part[]) => {
  const refs = new Map<string, Set<string>>()
  for (const element of networkOf(board, []).elements) {
    const key = (element.kind === 'junction' ? [element.anode, element.cathode] : [element.from, element.to]).sort().join(' ')
    refs.set(key, (refs.get(key) ?? new Set<string>()).add(element.part))
  }
  return ({ red, black }) => board.parts.filter(({ ref }) => refs.get([red, black].sort().join(' '))?.has(ref) === true)
}

/** A hit that ends in a figure, good or faulty, says that there was contact: preferred to one that ends in air. */
const endsInAir = (limits: Limits | null): boolean => limits === 'open' || (typeof limits === 'object' && limits !== null && 'atLeast' in limits)

const identifierOf = (words: string): string => words.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-').replaceAll(/^-|-$/g, '').slice(0, 36)

const titleOf = (at: NetPlacement, across: readonly Part[]): string => {
  const [only, ...more] = across
  const way = `${at.red} to ${at.black}`
  if (only === undefined || more.length > 2) return `${way}, ${at.function === 'diode' ? 'diode test' : 'resistance'}`
  const refs = across.map(({ ref }) => ref).join(', ')
  const { anode, cathode } = only.pins
  if (at.function === 'diode' && anode !== undefined && cathode !== undefined && more.length === 0) {
    return `${refs} ${at.red === anode ? 'forward' : 'reverse'}`
  }
  if (at.function === 'diode') return `${refs}, ${way}, diode test`
  return more.length === 0 && Object.keys(only.pins).length === 2 ? refs : `${refs}, ${way}`
}

const stepsOf = (
  board: BoardType, order: readonly NetPlacement[], limitsAt: (at: NetPlacement) => Limits | null, partsShown: (at: NetPlacement) => string[],
): MeasureStep[] => {
  const across = partsAcross(board)
  const taken = new Set<string>()
  const freeId = (wanted: string): string => {
    let id = wanted === '' ? 'step' : wanted
    for (let turn = 2; taken.has(id); turn += 1) id = `${wanted}-${turn}`
    taken.add(id)
    return id
  }
  return order.flatMap((at): MeasureStep[] => {
    const here = across(at)
    const refs = here.map(({ ref }) => ref)
    const [red, black, limits] = [tipFor(board, at.red, refs), tipFor(board, at.black, refs), limitsAt(at)]
    if (red === null || black === null || limits === null) return []
    const title = titleOf(at, here).slice(0, 80)
    return [{ kind: 'measure', id: freeId(identifierOf(title)), title, red: red.id, black: black.id, function: at.function, limits, parts: partsShown(at), then: [] }]
  })
}

const untestedOf = (
  board: BoardType, missed: readonly ShownFault[], placements: readonly NetPlacement[], limits: readonly (Limits | null)[], good: Float64Array,
): ProposedSequence['untested'] => {
  const groups = new Map<string, ProposedSequence['untested'][number] & { share: number }>()
  for (const one of missed) {
    const { fault } = one
    const { because, share } = whyUntested(board, one, placements, limits, good)
    const key = `${fault.ref} ${fault.pin ?? ''} ${share === 0 ? because : ''}`
    const known = groups.get(key) ?? { ref: fault.ref, pin: fault.pin, kinds: [], because, share }
    const kinds = known.kinds.includes(fault.kind) ? known.kinds : [...known.kinds, fault.kind]
    groups.set(key, { ...known, kinds, ...(share > known.share ? { because, share } : {}) })
  }
  return [...groups.values()].map(({ ref, pin, kinds, because }) => ({ ref, pin, kinds, because }))
}

/**
 * Limits are what good boards read there (good-limits.ts). `random` gives numbers in [0, 1): the same numbers propose the same sequence.
 * @throws RangeError where no placement shows any fault: a sequence has one step at least.
 */
export const proposedSequence = (board: BoardType, random: Random, drives: MeterDrives = genericDrives): ProposedSequence => {
  const placements = netPlacements(board)
  const limits = goodLimits(board, placements, random, { drives, draws: firstDraws })
  const read = usualFaults(board).map((fault) => ({ fault, readings: readingsWith(board, [fault], placements, drives) }))
  const across = partsAcross(board)
  const worth = placements.map((at, index) => {
    const parts = across(at).filter(({ kind }) => allowedFaults(kind).length > 0).length
    return (endsInAir(limits[index] ?? null) ? 0 : 2) + (parts > 0 ? 2 : 0) - parts / 10 + (at.function === 'resistance' ? 0.5 : 0)
  })
  /** Those chosen get their limits from more boards, and the choice is made again, until none is chosen that has not got them. */
  const drawn = new Set<number>()
  let shown = shownFaults(read, placements, limits)
  let chosen: number[] = []
  for (let fresh = [-1]; fresh.length > 0;) {
    chosen = coveringSet(shown, placements.length, (index) => worth[index] ?? 0)
    fresh = chosen.flatMap((index) => (index % 2 === 0 ? [index, index + 1] : [index - 1, index])).filter((index) => !drawn.has(index))
    goodLimits(board, fresh.flatMap((index) => placements[index] ?? []), random, { drives }).forEach((own, at) => {
      const index = fresh[at] ?? -1
      limits[index] = own
      drawn.add(index)
    })
    if (fresh.length > 0) shown = shownFaults(read, placements, limits)
  }
  if (chosen.length === 0) {
    throw new RangeError(`No placement shows a fault on ${board.name}: it has ${reachableNets(board).length} nets with a test point. Add test points, or parts between those nets.`)
  }
  /** Each is followed, or preceded, by its turned one; either will do where that shows as much. */
  const waysAt = (index: number): NetPlacement[] => {
    const other = index % 2 === 0 ? index + 1 : index - 1
    const asGood = limits[other] !== null && shown.every(({ shows }) => (shows[other] ?? 0) >= (shows[index] ?? 0))
    return [index, ...(asGood ? [other] : [])].flatMap((one) => placements[one] ?? [])
  }
  const order = probingOrder(chosen.map(waysAt))
  const taken = new Map(order.map((at) => [at, placements.indexOf(at)]))
  const partsShown = (at: NetPlacement): string[] => {
    const seen = new Set(shown.flatMap(({ fault, shows }) => (shows[taken.get(at) ?? -1] === 1 ? [fault.ref] : [])))
    return board.parts.map(({ ref }) => ref).filter((ref) => seen.has(ref))
  }
  const missed = shown.filter(({ shows }) => !chosen.some((index) => shows[index] === 1))
  const untested = untestedOf(board, missed, placements, limits, readingsWith(board, [], placements, drives))
  return {
    sequence: { id: 'proposed', version: 1, steps: stepsOf(board, order, (at) => limits[taken.get(at) ?? -1] ?? null, partsShown) },
    faults: shown.length, shown: shown.length - missed.length, untested, dialTurns: dialTurns(order), leadMoves: leadMoves(order),
  }
}
