/** Loads the built main process against the stand-in for electron, as `npm start` would start it. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { vi } from 'vitest'
import type { Later } from '../bench-tools/closers'
import { root } from '../bench-tools/running-app'
import type { StandInWindow, World } from './stand-in/window'

export type Desktop = {
  world: World
  /** The one window. @throws Error when it did not open. */
  window: () => StandInWindow
  dataFolder: string
  secondInstance: () => void
  quit: () => void
  /** What it reported to npm start. */
  reports: string[]
}

export type Setup = {
  args?: string[]
  dataFolder?: string
  /** May put files into the data folder or change the world before the desktop is loaded. */
  prepare?: (world: World, dataFolder: string) => void
  packaged?: boolean
}

export const openDesktop = async (later: Later, setup: Setup = {}): Promise<Desktop> => {
  const dataFolder = setup.dataFolder ?? mkdtempSync(join(tmpdir(), 'probewright-desktop-'))
  if (setup.dataFolder === undefined) later(() => { rmSync(dataFolder, { recursive: true, force: true }) })
  vi.resetModules()
  const standIn = await import('./stand-in/electron')
  standIn.app.isPackaged = setup.packaged === true
  setup.prepare?.(standIn.world, dataFolder)

  const reports: string[] = []
  const write = vi.spyOn(process.stdout, 'write').mockImplementation(((text: string, done?: () => void) => {
    reports.push(text)
    done?.()
    return true
  }) as typeof process.stdout.write)
  later(() => { write.mockRestore() })
  const before = process.argv
  later(() => { process.argv = before })
  process.argv = ['electron', '--no-some-switch-of-chromium', root, ...(setup.args ?? []), `--data=${dataFolder}`]
  await import(/* @vite-ignore */ pathToFileURL(join(root, 'out/main/desktop.js')).href)
  await vi.waitFor(() => {
    const { windows, exits } = standIn.world
    if (exits.length === 0 && windows[0]?.webContents.getURL() !== 'probewright://app/') throw new Error('neither open nor given up')
  }, { timeout: 20_000, interval: 5 })

  let over = standIn.world.exits.length > 0
  const quit = (): void => {
    if (over) return
    over = true
    standIn.app.quit()
  }
  later(quit)
  return {
    world: standIn.world, dataFolder, reports, quit,
    window: () => {
      const [window] = standIn.world.windows
      if (window === undefined) throw new Error('there is no window')
      return window
    },
    secondInstance: () => { standIn.app.emit('second-instance', {}, [], '') },
  }
}
