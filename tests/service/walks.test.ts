/** Walks on the real store, in runs that read no meter: learned once, kept over a kill, and held to from the next board on. */
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import type { BenchView } from '../../src-core/run/view'
import { closeAfterEach } from '../bench-tools/close-after-each'
import type { ContractClient } from '../bench-tools/contract-client'
import { openClient } from '../bench-tools/contract-client'
import { openDataFolder } from '../bench-tools/opened'
import { startApp } from '../bench-tools/running-app'
import { goodValue } from '../bench-tools/typing-hand'
import { lampDimmer, unlisted } from '../bench-tools/walked-board'

const later = closeAfterEach()
const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

/** The board without its watch, which needs a meter; the walk without a list, and no picture. */
const board = (() => {
  const whole = lampDimmer({ walk: { ...unlisted.walk, then: [] } })
  return { ...whole, pictures: [], testPoints: whole.testPoints, sequence: { ...whole.sequence, steps: whole.sequence.steps.filter(({ kind }) => kind === 'walk') } }
})()

const putBoard = (dataFolder: string): void => {
  const folder = join(dataFolder, 'boards/lamp-dimmer')
  mkdirSync(folder, { recursive: true })
  writeFileSync(join(folder, 'board.json'), JSON.stringify({ ...board, pictures: [{ id: 'top', file: 'top.svg', width: 640, height: 420 }] }))
  writeFileSync(join(folder, 'top.svg'), '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 420"/>')
}
const seen = async (client: ContractClient): Promise<BenchView> => {
  const { bench } = await client.ask('hello', {})
  if (bench === null) throw new Error('No run is on the bench.')
  return bench
}
const type = async (client: ContractClient, text: string): Promise<void> => {
  const { step } = await seen(client)
  if (step === null || step.typed === null) throw new Error(`Nothing is typed at ${step?.id ?? 'the end'}.`)
  await client.ask('type-value', { text, step: step.id, touch: step.typed.touch })
}
/** Through the preparation, up to the walk. */
const prepared = async (client: ContractClient): Promise<void> => {
  for (let turn = 0; turn < 60; turn += 1) {
    const { step } = await seen(client)
    if (step === null || !step.id.startsWith('prepare/')) return
    if (step.typed !== null) await type(client, goodValue(board, step.id))
    else { await pause(520); await client.ask('press', { key: 'confirm' }) }
  }
}
const begin = async (client: ContractClient, serialNumber: string): Promise<void> => {
  for (let turn = 0; ; turn += 1) {
    try {
      await client.ask('start-run', { board: 'lamp-dimmer', revision: 'A', serialNumber, byEye: true })
      break
    } catch (error) {
      // Its points are judged by runs that are still being taken in.
      if (turn > 20 || !(error instanceof Error) || !error.message.includes('still being learned of')) throw error
      await pause(100)
    }
  }
  await prepared(client)
}

it('a walk is learned by typing, survives a kill, and judges the next boards', async () => {
  const dataFolder = openDataFolder(later)
  putBoard(dataFolder)
  const first = await startApp([], dataFolder)
  const one = await openClient(first.address)
  await begin(one, 'LD-1')
  expect((await seen(one)).step).toMatchObject({ id: 'walk', walk: { learned: 0, of: null } })
  for (const value of ['10.00 k', '4.70 k']) await type(one, value)
  const { run } = await seen(one)
  one.close()
  await first.kill()

  const app = await startApp([], dataFolder)
  later(() => app.close())
  const client = await openClient(app.address)
  later(() => { client.close() })
  await client.ask('open-run', { run })
  if ((await seen(client)).keys.some(({ action }) => action === 'by-eye')) await client.ask('read-by-eye', {})
  await prepared(client)
  expect((await seen(client)).step).toMatchObject({ id: 'walk', walk: { learned: 2, of: null } })
  await type(client, '999')
  await client.ask('press', { key: 'back' })
  expect((await seen(client)).step?.walk?.learned).toBe(2)
  await type(client, '1.000 k')
  await pause(520)
  await client.ask('press', { key: 'finish' })
  expect((await seen(client)).result).toMatchObject({ verdict: 'pass', because: expect.stringMatching(/Learned here and not judged: Legs to 0 V/) })

  await begin(client, 'LD-2')
  const { steps } = await seen(client)
  expect(steps.filter(({ preparation }) => !preparation).map(({ id, limits }) => [id, limits])).toEqual([['walk/#1', '8.50 kΩ to 11.5 kΩ'], ['walk/#2', '3.99 kΩ to 5.41 kΩ'], ['walk/#3', '850 Ω to 1.15 kΩ']])
  for (const value of ['10.10 k', '9.00 k', '9.00 k', '1.010 k']) await type(client, value)
  expect((await seen(client)).result?.failed.map(({ step, value }) => [step, value])).toEqual([['walk/#2', '9.00 kΩ']])

  // A board that failed is no good board: the next one is held to the first alone.
  await begin(client, 'LD-3')
  expect((await seen(client)).step?.where).toMatch(/on one good board/)
  for (const value of ['10.20 k', '4.75 k', '1.020 k']) await type(client, value)
  expect((await seen(client)).result?.verdict).toBe('pass')
  await begin(client, 'LD-4')
  expect((await seen(client)).step?.where).toMatch(/on 2 good boards/)

  const learnt = await client.ask('what-was-learnt', { board: 'lamp-dimmer', revision: 'A' })
  expect(learnt.learnt.steps.map(({ step, title, values }) => [step, title, values])).toEqual([
    ['walk/#1', 'Legs to 0 V, point 1', 2], ['walk/#2', 'Legs to 0 V, point 2', 2], ['walk/#3', 'Legs to 0 V, point 3', 2],
  ])
}, 120_000)
