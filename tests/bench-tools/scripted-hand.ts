/** The practice meter's bytes into a serial line, moved by the practice hand, which watches the app as a second screen. */
import type { BoardType } from '../../src-core/board/board-type'
import { parseFaults } from '../../src-core/circuit/faults'
import type { BoardNow } from '../../src-core/practice/board-now'
import { meterDescription } from '../../src-core/meter/description'
import { seconds } from '../../src-core/quantity/units'
import { createPracticeMeter } from '../../src-main/service/practice/practice-meter'
import { technician, technicianAtRest, type Key } from '../../src-main/service/practice/technician'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { ContractClient } from './contract-client'
import { root } from './running-app'

export type ScriptedHand = {
  /** While still, the meter sends and the hand does not move. */
  still: (on: boolean) => void
  placed: () => boolean
  stop: () => void
}

export const startScriptedHand = (setup: {
  board: BoardType; faults: string[]; seed: number; client: ContractClient; write: (bytes: Uint8Array) => void; press: (key: Key) => void
  /** As the board lies there now; without it, with its faults, whole and without power. */
  now?: () => BoardNow
}): ScriptedHand => {
  const parsed = parseFaults(setup.board, setup.faults)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  const description = meterDescription.parse(JSON.parse(readFileSync(join(root, 'fixtures/meters/line-meter-a.json'), 'utf8')))
  const now = () => seconds(performance.now() / 1000)
  const meter = createPracticeMeter({ board: setup.board, faults: parsed.faults, seed: setup.seed, description, startsAt: now() })
  let hand = technicianAtRest(now())
  let isStill = false
  const turning = setInterval(() => {
    if (setup.now !== undefined) meter.setBoard(setup.now(), now())
    const bench = setup.client.last('bench')
    const live = setup.client.last('live')
    if (!isStill && bench !== undefined && live !== undefined) {
      const next = technician(hand, bench, live, now())
      hand = next.technician
      for (const action of next.actions) {
        if (action.kind === 'hand') meter.setHand(action.hand, now())
        else if (action.kind === 'press') setup.press(action.key)
        else void setup.client.ask('skip', { step: action.step, reason: action.reason })
      }
    }
    for (const { bytes } of meter.bytesUntil(now())) setup.write(bytes)
  }, 25)
  return { still: (on) => { isStill = on }, placed: () => hand.hand.tips !== 'lifted', stop: () => { clearInterval(turning) } }
}
