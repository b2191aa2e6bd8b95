/** Measuring elsewhere over the contract and the real store: refused with the reason, kept over a kill, told by the run and by the diagnosis of its readings. */
import { expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openClient } from '../bench-tools/contract-client'
import { openDataFolder } from '../bench-tools/opened'
import { startApp } from '../bench-tools/running-app'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()

it('two chosen points are asked for in the run, also after the app was killed, and the value is told and diagnosed', async () => {
  const dataFolder = openDataFolder(later)
  putBoard(dataFolder, mistValve)
  const first = await startApp([], dataFolder)
  later(() => first.close())
  const before = await openClient(first.address)
  const { run } = await before.ask('start-run', { board: mistValve.id, revision: mistValve.revision, serialNumber: 'MV-1', byEye: true })
  const choice = { red: 'J1.1', black: 'J1.2', function: 'diode' } as const
  await expect(before.ask('measure-elsewhere', choice)).rejects.toThrow('The preparation comes first')
  await typeAll(before, mistValve, { stopAt: 'r1' })
  await expect(before.ask('measure-elsewhere', { ...choice, black: 'X1' })).rejects.toThrow('This board has no test point X1. Choose another.')
  await expect(before.ask('measure-elsewhere', { ...choice, function: 'capacitance' })).rejects.toThrow('Elsewhere only resistance and diode test are measured')
  await before.ask('measure-elsewhere', choice)
  expect((await before.ask('hello', {})).bench?.step).toMatchObject({ id: 'elsewhere:1', function: 'diode', typed: { unit: 'V' }, red: { testPoint: 'J1.1' }, black: { testPoint: 'J1.2' } })
  // By the worker, while the bench waits for the value: R1 and D1 in series the wrong way round are open.
  const shown = await before.until('bench', (bench) => bench?.step?.limitsAre === 'computed')
  expect(shown?.step).toMatchObject({ id: 'elsewhere:1', limits: 'open', where: expect.stringContaining('Computed: a good board reads open') as string })
  before.close()
  await first.kill()

  const second = await startApp([], dataFolder)
  later(() => second.close())
  const client = await openClient(second.address)
  later(() => { client.close() })
  await client.ask('open-run', { run })
  // The proof lapsed with the app; then it is asked for again.
  const again = await typeAll(client, mistValve, { stopAt: 'elsewhere:1' })
  expect(again.step?.id).toBe('elsewhere:1')
  await client.ask('type-value', { text: '0.640', step: 'elsewhere:1', touch: 1 })
  expect((await client.ask('hello', {})).bench?.step?.id).toBe('r1')
  // Nothing failed: who measures elsewhere is answered all the same.
  await client.until('diagnosis', (view) => view?.run === run && view.readings === 1)
  // What the first app computed is in the run.
  expect((await client.ask('hello', {})).bench?.steps.find(({ id }) => id === 'elsewhere:1')).toMatchObject({ verdict: 'not-judged', expected: 'outside; good board open, computed' })
  const ended = await typeAll(client, mistValve)
  expect(ended.result?.verdict).toBe('pass')
  const detail = await client.ask('read-run', { run })
  expect(detail.steps.find(({ id }) => id === 'elsewhere:1')).toMatchObject({ verdict: 'not-judged', placement: 'red J1.1, black J1.2', found: [{ words: expect.stringContaining('0.640 V') as string }] })
}, 90_000)
