/** Steps that nobody typed limits for and that none can be computed for: judged by what the shop's good boards read there, where some did. */
import { z } from 'zod'
import type { BoardType, MeasureStep } from '../board/board-type'
import { asksMeter, fileAllowsNoLimits, type ComputedLimits } from '../circuit/computed-limits'
import type { MeterFunction } from '../meter/reading'
import { goodLimits, limitsOfGoodBoards, usualTolerance, type GoodValue, type KnownGood, type LimitsOfGoodBoards } from './good-values'

/** By the ids of the steps; fixed as a run begins. */
export const knownGood = z.record(z.string().min(1), goodLimits)

/** Parts whose stated tolerance is that of what a meter reads across them, by function. */
const toleranceSpeaks: Partial<Record<MeterFunction, readonly string[]>> = { resistance: ['resistor'], continuity: ['resistor'], capacitance: ['capacitor'], inductance: ['coil'] }

const apartWithin = (tolerance: number): number => (2 * tolerance) / (1 - tolerance)

/**
 * How far a good board may read from another good one in a step, as a share of the other's value. With the largest tolerance t that the file gives its parts
 * one may lie at 1 + t of the nominal value while the other lies at 1 − t: 2·t/(1 − t). The usual one where the file gives none, or a part of another kind is
 * among them.
 */
export const betweenBoards = (board: Pick<BoardType, 'parts'>, step: Pick<MeasureStep, 'parts' | 'function'>): { share: number; whose: string; /** The file states it. */ stated: boolean } => {
  const own = step.parts.flatMap((ref) => board.parts.filter((part) => part.ref === ref))
  const stated = own.flatMap(({ kind, tolerance }) => (toleranceSpeaks[step.function]?.includes(kind) === true && tolerance !== undefined && tolerance > 0 && tolerance < 1 ? [tolerance] : []))
  return stated.length === 0 || stated.length < step.parts.length ? { share: usualTolerance, whose: 'usual, since the file gives no tolerance that holds here', stated: false }
    : { share: apartWithin(Math.max(...stated)), whose: `both boards within the tolerance of ${step.parts.join(', ')}`, stated: true }
}

/** Whether a step of this board can have no limits but those of good boards. */
export const needsGoodBoards = (board: BoardType): boolean => board.sequence.steps.some((step) => asksMeter(step) && fileAllowsNoLimits(board, step) !== null)

/** @param valuesOf the good boards at one step, by its id. Undefined where none spoke. */
export const goodKnown = (board: BoardType, valuesOf: (id: string) => readonly GoodValue[]): KnownGood | undefined => {
  const found = board.sequence.steps.flatMap((step): [string, KnownGood[string]][] => {
    if (!asksMeter(step)) return []
    const { share, whose } = betweenBoards(board, step)
    const told = limitsOfGoodBoards(valuesOf(step.id).filter((one) => one.function === step.function), share, whose)
    return told === null ? [] : [[step.id, told]]
  })
  return found.length === 0 ? undefined : Object.fromEntries(found)
}

/** Where none could be computed, those of good boards stand in. */
export const withKnownGood = (computed: Readonly<Record<string, ComputedLimits>>, known: KnownGood | undefined): Record<string, ComputedLimits | LimitsOfGoodBoards> =>
  Object.fromEntries(Object.entries(computed).map(([step, own]) => {
    const good = known?.[step]
    if (!('refused' in own) || good === undefined) return [step, own]
    const { value, ...rest } = good
    return [step, { ...rest, read: value, uncomputed: own.refused }]
  }))
