/** A hand that reads no meter: it types what a good board would show, step by step, over the contract. */
import type { BoardType } from '../../src-core/board/board-type'
import { acceptanceInterval } from '../../src-core/metrology/interval'
import type { BenchView } from '../../src-core/run/view'
import type { ContractClient } from './contract-client'

const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

const preparationValues: Record<string, string> = {
  'prepare/known-diode': '0.581 V', 'prepare/known-diode-reversed': 'OL', 'prepare/leads-joined': '0.2', 'prepare/known-source': '1.562',
}

/** What a good board shows here, as a person would type it. */
export const goodValue = (board: BoardType, id: string): string => {
  if (id.startsWith('prepare/leads-apart/')) return 'OL'
  const known = preparationValues[id]
  if (known !== undefined) return known
  const step = board.sequence.steps.find((each) => each.id === id)
  if (step === undefined) return '0.000'
  if (step.kind !== 'measure') throw new Error(`${id} measures nothing`)
  if (step.limits === undefined) throw new Error(`${id} has no limits of its own`)
  const interval = acceptanceInterval(step.limits, step.function)
  if (interval.kind === 'open') return 'OL'
  const { lo, hi } = interval
  const value = lo !== null && hi !== null ? (lo + hi) / 2 : lo !== null ? lo * 2 : (hi ?? 0) / 2
  return value.toPrecision(5)
}

/** Types and presses as the bench asks, until the run has its verdict or `stopAt` comes up; `instead` of a good value, by step. */
export const typeAll = async (
  client: ContractClient, board: BoardType, { stopAt, instead = {} }: { stopAt?: string; instead?: Record<string, string> } = {},
): Promise<NonNullable<BenchView>> => {
  for (let turn = 0; turn < 120; turn += 1) {
    const bench = (await client.ask('hello', {})).bench
    if (bench === null) throw new Error('no run is on the bench')
    if (bench.result !== null || bench.step === null || bench.step.id === stopAt) return bench
    if (bench.step.typed !== null) await client.ask('type-value', { text: instead[bench.step.id] ?? goodValue(board, bench.step.id), step: bench.step.id, touch: bench.step.typed.touch })
    else {
      await pause(520) // a press sooner would be taken for the step before
      await client.ask('press', { key: 'confirm' })
    }
  }
  throw new Error('the run does not come to its end')
}
