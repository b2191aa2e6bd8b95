/** The built main process against a stand-in for electron: one desktop on a data folder, and what npm start and the person hear. */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openDataFolder } from '../bench-tools/opened'
import { startApp } from '../bench-tools/running-app'
import { openDesktop } from './open-desktop'

const later = closeAfterEach()

describe('one desktop on one data folder', () => {
  it('keeps its own things, the lock with them, inside the data folder', async () => {
    const { world, dataFolder } = await openDesktop(later)
    expect(world.paths).toEqual({ userData: join(dataFolder, 'desktop'), sessionData: join(dataFolder, 'desktop') })
  })

  it('a second one opens nothing, says that the first is open, and ends', async () => {
    const { world, reports, dataFolder } = await openDesktop(later, {
      args: ['--from-start'], prepare: (around) => { around.firstInstance = false },
    })
    expect([world.windows, world.exits, world.errorBoxes]).toEqual([[], [0], []])
    expect(reports).toEqual(['probewright-desktop {"kind":"already-open"}\n'])
    expect(existsSync(join(dataFolder, 'probewright.sqlite'))).toBe(false)
  })

  it('a second start brings the first window to the front', async () => {
    const { window, secondInstance } = await openDesktop(later)
    window().minimized = true
    secondInstance()
    expect([window().minimized, window().visible, window().focused]).toEqual([false, true, 1])
  })

  it('tells npm start once that it is open, and nobody else', async () => {
    const started = await openDesktop(later, { args: ['--from-start'] })
    started.window().webContents.reload()
    await expect.poll(() => started.window().webContents.loads.length).toBe(2)
    expect(started.reports).toEqual(['probewright-desktop {"kind":"ready"}\n'])
    expect((await openDesktop(later)).reports).toEqual([])
  })

  it('says whose it is when another program holds the data folder: to npm start in its words, else in a box', async () => {
    const dataFolder = openDataFolder(later)
    const app = await startApp([], dataFolder)
    later(() => app.close())
    const started = await openDesktop(later, { args: ['--from-start'], dataFolder })
    expect([started.world.windows, started.world.exits, started.world.errorBoxes]).toEqual([[], [1], []])
    expect(started.reports.join('')).toMatch(/"kind":"refused","words":".*is in use by another Probewright\. Close it/)
    const clicked = await openDesktop(later, { dataFolder })
    expect([clicked.world.windows, clicked.world.exits, clicked.reports]).toEqual([[], [1], []])
    expect(clicked.world.errorBoxes).toHaveLength(1)
    expect(clicked.world.errorBoxes[0]).toMatch(/^Probewright cannot open: .*is in use by another Probewright\. Close it/)
  })

  it('says so when the data folder cannot be made', async () => {
    const { world } = await openDesktop(later, { dataFolder: join(import.meta.filename, 'data') })
    expect([world.windows, world.exits]).toEqual([[], [1]])
    expect(world.errorBoxes[0]).toMatch(/ENOTDIR|EEXIST/)
  })
})
