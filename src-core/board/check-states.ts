/** Checks what steps leave lifted or removed, and the conditions under which a reading ends a run. */
import type { BoardType, Step } from './board-type'
import { boundsOf, limitsMisfit } from '../metrology/interval'
import { missingOf, pinInWords, stateAt, stateInWords, type LeftState } from './part-state'
import type { FieldProblem } from './shape-problems'

const partOf = (board: BoardType, field: string, { ref, ...rest }: LeftState): FieldProblem[] => {
  const part = board.parts.find((one) => one.ref === ref)
  if (part === undefined) return [{ field: `${field}.ref`, message: `"${ref}" is not a part of this board; add it to parts or correct the name` }]
  return 'pin' in rest && !Object.hasOwn(part.pins, rest.pin)
    ? [{ field: `${field}.pin`, message: `"${rest.pin}" is not a pin of ${ref}; its pins are ${Object.keys(part.pins).map((pin) => `"${pin}"`).join(', ')}` }] : []
}

const leavesOf = (board: BoardType, step: Step, at: number): FieldProblem[] =>
  (step.kind === 'do' ? step.leaves ?? [] : []).flatMap((one, which) => partOf(board, `sequence.steps[${at}].leaves[${which}]`, one))

const endsOf = (board: BoardType, step: Step, at: number): FieldProblem[] => step.then.flatMap((branch, which): FieldProblem[] => {
  const field = (key: string): string => `sequence.steps[${at}].then[${which}].${key}`
  const limited = branch.when === 'under-limits' || branch.when === 'over-limits'
  const bounds = step.kind === 'measure' && step.limits !== undefined && limitsMisfit(step.limits, step.function) === null ? boundsOf(step.limits, step.function) : null
  const side = branch.when === 'under-limits' ? 'low' : 'high'
  const needs = 'stop' in branch ? branch.needs ?? [] : []
  const unknown = needs.flatMap((one, index) => partOf(board, `${field('needs')}[${index}]`, one))
  const missing = unknown.length > 0 ? [] : missingOf(needs, stateAt(board, step.id))
  return [
    ...(limited && step.kind !== 'measure' ? [{ field: field('when'), message: `a ${step.kind} step has no limits; use a verdict` }] : []),
    ...(limited && bounds !== null && bounds[side] === null ? [{ field: field('when'), message: `the limits of this step have no ${side === 'low' ? 'lower' : 'upper'} figure to be ${side === 'low' ? 'under' : 'over'}; use "fail", or write a figure` }] : []),
    ...unknown,
    ...missing.map((one) => ({
      field: field('needs'), message: `no step before this one leaves ${one.is === 'lifted' ? `${pinInWords(one.ref, one.pin)} lifted` : stateInWords([one])}, so this rule could never count; add a do step before it with "leaves": [${JSON.stringify(one)}]`,
    })),
  ]
})

export const statesOf = (board: BoardType): FieldProblem[] => board.sequence.steps.flatMap((step, at) => [...leavesOf(board, step, at), ...endsOf(board, step, at)])
