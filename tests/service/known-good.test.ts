/** Limits of good boards on the real store: a step that lost its limits is judged by the boards that passed with them. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import type { BoardType, MeasureStep } from '../../src-core/board/board-type'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openClient, type ContractClient } from '../bench-tools/contract-client'
import { openDataFolder } from '../bench-tools/opened'
import { startApp } from '../bench-tools/running-app'
import { typeAll } from '../bench-tools/typing-hand'
import { lampDimmer } from '../bench-tools/walked-board'

const later = closeAfterEach()
const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

/** The lamp dimmer with one step alone: volts, which are never computed. */
const withRail = (limits?: MeasureStep['limits']): BoardType => {
  const whole = lampDimmer()
  const [red, black] = whole.testPoints
  if (red === undefined || black === undefined) throw new Error('the lamp dimmer has two test points at least')
  const rail: MeasureStep = { kind: 'measure', id: 'rail', title: 'Rail', red: red.id, black: black.id, function: 'dc-voltage', powered: true, parts: [], then: [], ...(limits === undefined ? { goodBoards: true as const } : { limits }) }
  return { ...whole, sequence: { ...whole.sequence, steps: [rail] } }
}
const putBoard = (dataFolder: string, board: BoardType): void => {
  const folder = join(dataFolder, 'boards/lamp-dimmer')
  mkdirSync(folder, { recursive: true })
  writeFileSync(join(folder, 'board.json'), JSON.stringify({ ...board, pictures: [{ id: 'top', file: 'top.svg', width: 640, height: 420 }] }))
  writeFileSync(join(folder, 'top.svg'), '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 420"/>')
}
const begin = async (client: ContractClient, serialNumber: string): Promise<void> => {
  for (let turn = 0; turn < 30; turn += 1) {
    try {
      await client.ask('start-run', { board: 'lamp-dimmer', revision: 'A', serialNumber, byEye: true })
      return
    } catch (error) {
      if (!(error instanceof Error) || !error.message.includes('still being learned of')) throw error
      await pause(100)
    }
  }
}

it('a step without limits is judged by the good boards of before, and by none that failed', async () => {
  const dataFolder = openDataFolder(later)
  const typed = withRail({ between: [3, 3.6] })
  putBoard(dataFolder, typed)
  const first = await startApp([], dataFolder)
  const one = await openClient(first.address)
  for (const [serialNumber, volts] of [['LD-1', '3.310'], ['LD-2', '3.290'], ['LD-3', '9.999']] as const) {
    await begin(one, serialNumber)
    await typeAll(one, typed, { instead: { rail: volts } })
  }
  one.close()
  await first.kill()

  const bare = withRail()
  putBoard(dataFolder, bare)
  const app = await startApp([], dataFolder)
  later(() => app.close())
  const client = await openClient(app.address)
  later(() => { client.close() })
  await begin(client, 'LD-4')
  await typeAll(client, bare, { stopAt: 'rail' })
  // That none can be computed is the worker's answer; good boards stand in from then on.
  const bench = await client.until('bench', (view) => view?.step?.limitsAre === 'good boards', 60_000)
  expect(bench?.step?.id).toBe('rail')
  expect(bench?.step?.where).toContain('either way of 3.3 V on 2 good boards')
  const { result } = await typeAll(client, bare, { instead: { rail: '2.500' } })
  expect(result?.failed).toMatchObject([{ step: 'rail', value: '2.500 V', limits: expect.stringMatching(/^2\.\d+ V to 3\.\d+ V, good boards$/) as string }])
  expect(result?.because).toContain('Limits from good boards of this shop: Rail.')
}, 120_000)
