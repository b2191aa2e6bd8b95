import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, it } from 'vitest'
import { openClient } from '../bench-tools/contract-client'
import { root, startApp } from '../bench-tools/running-app'

const dataFolder = mkdtempSync(join(tmpdir(), 'probewright-picture-'))
afterAll(() => { rmSync(dataFolder, { recursive: true, force: true }) })

it('a run taken up after its board file was changed shows the picture it was made with', async () => {
  const folder = join(dataFolder, 'boards', 'own')
  mkdirSync(folder, { recursive: true })
  const from = join(root, 'fixtures/boards/vent-driver-node')
  const board = JSON.parse(readFileSync(join(from, 'board.json'), 'utf8')) as Record<string, unknown>
  writeFileSync(join(folder, 'board.json'), JSON.stringify({ ...board, id: 'own-node' }))
  writeFileSync(join(folder, 'top.svg'), readFileSync(join(from, 'top.svg'), 'utf8').replace('</svg>', '<!-- first --></svg>'))
  const before = await startApp([], dataFolder)
  const first = await openClient(before.address)
  const { run } = await first.ask('start-practice', { board: 'own-node', seed: 1 })
  const asset = (await first.until('bench', (bench) => bench?.run === run))?.picture?.asset ?? ''
  expect(asset).toMatch(/^\/pictures\/[0-9a-f]{64}\.svg$/)
  first.close()
  await before.close()

  rmSync(folder, { recursive: true })
  const app = await startApp([], dataFolder)
  const client = await openClient(app.address)
  await client.ask('open-run', { run })
  expect((await client.until('bench', (bench) => bench?.run === run))?.picture?.asset).toBe(asset)
  const { origin, hash } = new URL(app.address)
  const served = await fetch(`${origin}${asset}?token=${hash.slice(1)}`)
  expect([served.status, await served.text()]).toEqual([200, expect.stringContaining('<!-- first -->')])
  client.close()
  await app.close()
})
