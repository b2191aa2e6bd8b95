/** A part lifted in the repair log is measured alone over the contract and the real store: offered, computed by the worker, diagnosed, kept, and told by run and record. */
import { expect, it } from 'vitest'
import type { RepairEntry } from '../../src-core/repair/entry'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openApp, openDataFolder } from '../bench-tools/opened'
import { goOnByHand } from '../bench-tools/practising-hand'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()
const lift: RepairEntry = { part: 'D1', pin: 'anode', action: 'lifted', to: null, fitted: null, by: 'M. Rhys', note: '', photographs: [] }

it('the leg is a place to measure at, the diagnosis asks for it, and the value is told', async () => {
  const dataFolder = openDataFolder(later)
  putBoard(dataFolder, mistValve)
  const { client } = await openApp(later, { dataFolder })
  const { run } = await client.ask('start-run', { board: mistValve.id, revision: mistValve.revision, serialNumber: 'MV-1', byEye: true })
  await typeAll(client, mistValve, { stopAt: 'r1' })
  await expect(client.ask('measure-elsewhere', { red: '~D1.anode', black: 'R1.2', function: 'diode' })).rejects.toThrow('There is no lifted anode of D1 on this board now. Choose another place.')
  expect((await typeAll(client, mistValve, { instead: { 'd1-reverse': '0.002' } })).result?.verdict).toBe('fail')
  await client.ask('log-repair', { run, entry: lift })

  const again = await client.ask('measure-again', { run, purpose: 'whole' })
  await typeAll(client, mistValve, { stopAt: 'repair-cool' })
  await client.ask('skip', { reason: 'cooled with air', step: 'repair-cool' })
  const bench = await typeAll(client, mistValve, { stopAt: 'r1' })
  expect(bench.elsewhere?.points.find(({ id }) => id === '~D1.anode')).toMatchObject({ name: 'lifted anode of D1', shown: true })
  const asked = await client.until('diagnosis', (view) => view?.run === again.run && view.next.some((one) => one.alone?.function === 'diode'))
  expect(asked?.next.find((one) => one.alone?.function === 'diode')?.words).toContain('the lifted anode of D1')

  await client.ask('measure-elsewhere', { red: '~D1.anode', black: 'R1.2', function: 'diode' })
  const shown = await client.until('bench', (view) => view?.step?.limitsAre === 'computed')
  expect(shown?.step).toMatchObject({ id: 'elsewhere:1', title: 'Elsewhere lifted anode of D1, R1.2', red: { testPoint: '~D1.anode' }, black: { testPoint: 'R1.2' } })
  await client.ask('type-value', { text: '0.002', step: 'elsewhere:1', touch: 1 })
  // Alone it is as short as it was on the board.
  const told = await client.until('diagnosis', (view) => view?.run === again.run && view.readings === 1)
  expect(told?.parts.find(({ ref }) => ref === 'D1')).toMatchObject({ report: 'faulty' })
  const detail = await client.ask('read-run', { run: again.run })
  expect(detail.steps.find(({ id }) => id === 'elsewhere:1')).toMatchObject({ placement: 'red lifted anode of D1, black R1.2', verdict: 'not-judged', limits: expect.stringMatching(/^outside; good board/) as string })
}, 90_000)

it('in practice the hand goes to the leg, and reads the part alone with the fault that it has', async () => {
  const dataFolder = openDataFolder(later)
  putBoard(dataFolder, mistValve)
  const { client } = await openApp(later, { dataFolder })
  const { run } = await client.ask('start-practice', { board: mistValve.id, revision: mistValve.revision, by: 'hand', seed: 4, faults: ['D1:short'] })
  await goOnByHand(client, (shown) => shown.result !== null)
  expect(client.last('bench')?.result?.verdict).toBe('fail')
  await client.ask('log-repair', { run, entry: lift })

  await client.ask('measure-again', { run, purpose: 'whole' })
  await goOnByHand(client, (shown) => shown.step?.id === 'repair-cool')
  await client.ask('skip', { reason: 'cooled with air', step: 'repair-cool' })
  await goOnByHand(client, (shown) => shown.step?.id === 'r1')
  await client.ask('place', { tips: 'lifted', function: 'resistance' })
  await client.until('live', ({ state }) => state.includes('touch'), 15_000)
  await client.ask('measure-elsewhere', { red: '~D1.anode', black: 'R1.2', function: 'resistance' })
  const asked = await client.until('bench', (bench) => bench?.step?.id === 'elsewhere:1')
  expect(asked?.hand?.places.map(({ id }) => id)).toEqual([...mistValve.testPoints.map(({ id }) => id), '~D1.anode'])
  await goOnByHand(client, (shown) => shown.steps.some(({ id, value }) => id === 'elsewhere:1' && value !== ''))
  // Drawn shorts are up to 5 Ω.
  const [ohms = NaN] = [Number.parseFloat(client.last('bench')?.steps.find(({ id }) => id === 'elsewhere:1')?.value ?? '')]
  expect([ohms >= 0, ohms <= 5.1]).toEqual([true, true])
  await goOnByHand(client, (shown) => shown.step?.id === 'r1')
  await client.ask('place', { tips: 'lifted', function: 'resistance' })
  await client.until('live', ({ state }) => state.includes('touch'), 15_000)
  await client.ask('measure-elsewhere', { red: 'J1.2', black: 'R1.2', function: 'resistance' })
  // Between its pads nothing is left to read.
  await goOnByHand(client, (shown) => shown.steps.some(({ id, value }) => id === 'elsewhere:2' && value !== ''))
  expect(client.last('bench')?.steps.find(({ id }) => id === 'elsewhere:2')?.value).toBe('open')
}, 240_000)
