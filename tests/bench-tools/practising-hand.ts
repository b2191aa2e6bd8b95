/** A practice run that is moved by hand, over the contract: it stands where it is until somebody moves the leads. */
import type { ContractClient } from './contract-client'

/** Starts one and brings it to its first step with limits, the known diode, with the leads still in the air. */
export const knownDiodeByHand = async (client: ContractClient): Promise<void> => {
  await client.ask('start-practice', { board: 'vent-driver-node', seed: 3, faults: ['R4:open'], by: 'hand' })
  await client.ask('place', { tips: 'lifted', function: 'diode' })
  await client.until('live', (live) => live.wants === 'confirm', 60_000)
  await client.ask('press', { key: 'confirm' })
  await client.until('bench', (bench) => bench?.step?.id === 'prepare/known-diode', 60_000)
}
