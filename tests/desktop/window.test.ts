/** The built main process against a stand-in for electron: how its window is made, where it stands, and what is done when it crashes. */
import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openDesktop } from './open-desktop'
import type { World } from './stand-in/window'

const later = closeAfterEach()
const placeFile = (dataFolder: string): string => join(dataFolder, 'desktop', 'window.json')
const putPlace = (text: string) => (_world: World, dataFolder: string): void => {
  mkdirSync(join(dataFolder, 'desktop'), { recursive: true })
  writeFileSync(placeFile(dataFolder), text)
}

describe('the desktop’s window', () => {
  it('is sandboxed, isolated, without Node, and shows itself when its page is there', async () => {
    const { window, world } = await openDesktop(later)
    expect(world.sandboxed).toBe(true)
    expect(window().options.webPreferences).toMatchObject({
      sandbox: true, contextIsolation: true, nodeIntegration: false, nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false, webSecurity: true, allowRunningInsecureContent: false, webviewTag: false,
      spellcheck: false, backgroundThrottling: false,
    })
    expect(window().options.show).toBe(false)
    expect(window().visible).toBe(true)
    expect(window().webContents.loads).toEqual(['probewright://app/'])
    expect(world.windows).toHaveLength(1)
    expect(world.errorBoxes).toEqual([])
  })

  it('has its preload and its icon where the build and the repository put them', async () => {
    const { window } = await openDesktop(later)
    const { preload } = window().options.webPreferences as { preload: string }
    expect([existsSync(preload), existsSync(String(window().options.icon))]).toEqual([true, true])
  })

  it('lets a developer look inside, and nobody in an installed app', async () => {
    const inside = async (packaged: boolean): Promise<unknown> =>
      ((await openDesktop(later, { packaged })).window().options.webPreferences as { devTools: boolean }).devTools
    expect([await inside(false), await inside(true)]).toEqual([true, false])
  })

  it('stands where it stood last', async () => {
    const first = await openDesktop(later)
    first.window().moveTo({ x: 240, y: 130, width: 1400, height: 820 })
    first.window().maximize()
    first.quit()
    const second = await openDesktop(later, {
      prepare: (_world, dataFolder) => {
        mkdirSync(join(dataFolder, 'desktop'), { recursive: true })
        // In one process the store's lock outlives the app, so the kept place is carried to a fresh data folder.
        copyFileSync(placeFile(first.dataFolder), placeFile(dataFolder))
      },
    })
    expect(second.window().options).toMatchObject({ x: 240, y: 130, width: 1400, height: 820 })
    expect(second.window().maximized).toBe(true)
  })

  it('keeps its place half a second after a move, should the program be killed', async () => {
    const { window, dataFolder } = await openDesktop(later)
    window().moveTo({ x: 10, y: 20, width: 1000, height: 700 })
    await expect.poll(() => existsSync(placeFile(dataFolder)) && JSON.parse(readFileSync(placeFile(dataFolder), 'utf8')), { timeout: 20_000 })
      .toEqual({ x: 10, y: 20, width: 1000, height: 700, maximized: false, fullScreen: false })
  })

  it('comes back to a display that is there when its own is gone, at its size', async () => {
    const gone = '{"x":3000,"y":200,"width":1500,"height":900,"maximized":false,"fullScreen":false}'
    const { window } = await openDesktop(later, { prepare: putPlace(gone) })
    expect(window().options).toMatchObject({ width: 1500, height: 900 })
    expect([window().options.x, window().options.y]).toEqual([undefined, undefined])
  })

  it.each([['{'], ['[]'], ['{"x":"left"}'], ['{"x":1e99,"y":0,"width":0,"height":-5,"maximized":false,"fullScreen":false}']])(
    'opens as the first time where its place makes no sense: %s', async (text) => {
      const { window } = await openDesktop(later, { prepare: putPlace(text) })
      expect(window().options).toMatchObject({ width: 1280, height: 832 })
      expect(window().options.x).toBeUndefined()
    })

  it('loads its page anew when it crashes, and gives up in plain words when it crashes again at once', async () => {
    const { window, world } = await openDesktop(later)
    window().webContents.crash()
    await expect.poll(() => window().webContents.loads.length).toBe(2)
    expect([window().webContents.crashed, world.exits]).toEqual([false, []])
    window().webContents.crash()
    await expect.poll(() => world.exits).toEqual([1])
    expect(world.errorBoxes[0]).toMatch(/ended twice within half a minute \(crashed\)\. What was recorded is safe/)
  })

  it('ends the app when it is closed', async () => {
    const { window, world } = await openDesktop(later)
    window().close()
    expect(world.exits).toEqual([0])
  })
})
