/** A practice run that is moved by hand, over the contract: it stands where it is until somebody moves the leads. */
import type { CommandInput, EventPayload } from '../../src-core/contract'
import type { ContractClient } from './contract-client'

/** Starts one and brings it to its first step with limits, the known diode, with the leads still in the air. */
export const knownDiodeByHand = async (client: ContractClient): Promise<void> => {
  await client.ask('start-practice', { board: 'vent-driver-node', seed: 3, faults: ['R4:open'], by: 'hand' })
  await client.ask('place', { tips: 'lifted', function: 'diode' })
  await client.until('live', (live) => live.wants === 'confirm', 60_000)
  await client.ask('press', { key: 'confirm' })
  await client.until('bench', (bench) => bench?.step?.id === 'prepare/known-diode', 60_000)
}

type Bench = NonNullable<EventPayload<'bench'>>
const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

/** As a patient person would: leads and dial as asked, a press where one is wanted, a lift where one is asked. @throws Error where it never comes to `until`. */
export const goOnByHand = async (client: ContractClient, until: (shown: Bench) => boolean): Promise<void> => {
  const bench = (): Bench => {
    const present = client.last('bench')
    if (present === undefined || present === null) throw new Error('no run is on the bench')
    return present
  }
  const place = (hand: CommandInput<'place'>): Promise<unknown> => client.ask('place', hand)
  const confirm = (): Promise<unknown> => client.ask('press', { key: 'confirm' })
  for (let turn = 0; turn < 1500 && !until(bench()); turn += 1) {
    const { hand: shown, step } = bench()
    const { hand = { tips: 'lifted', function: 'resistance' }, asked = null, keys = [] } = shown ?? {}
    const wants = client.last('live')?.wants
    if (step?.kind !== 'measure') { await pause(520); if (!until(bench())) await confirm().catch(() => undefined) }
    else if (wants === 'lift' && hand.tips !== 'lifted') await place({ ...hand, tips: 'lifted' })
    else if (asked !== null && asked.function !== hand.function) await place({ ...hand, function: asked.function })
    else if (wants === 'confirm') await confirm()
    else if (wants !== 'lift' && keys.some(({ action }) => action === 'as-asked') && asked !== null) await place({ ...hand, tips: asked.tips })
    else if (client.last('live')?.state.includes('or confirm open') === true) await confirm()
    await pause(60)
  }
  if (!until(bench())) throw new Error(`it never came so far; step ${bench().step?.id ?? 'none'}, ${client.last('live')?.state ?? ''}`)
}
