/** The built preload in a context that can require only what a sandboxed one can (the list is from Electron's documentation, by memory). */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { runInNewContext } from 'node:vm'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { root } from '../bench-tools/running-app'
import { openDesktop } from './open-desktop'
import { runPreload } from './stand-in/preload'

const later = closeAfterEach()
const built = (): string => readFileSync(join(root, 'out/preload/preload.cjs'), 'utf8')

describe('the preload', () => {
  it('requires electron and nothing else', () => {
    const required: string[] = []
    const electron = { contextBridge: { exposeInMainWorld: () => undefined }, ipcRenderer: {} }
    runInNewContext(built(), { require: (name: string) => { required.push(name); return electron }, module: { exports: {} }, exports: {} })
    expect(required).toEqual(['electron'])
  })

  it('is CommonJS, small, and holds no validator: a dumb pipe', () => {
    expect(built()).not.toMatch(/^\s*(import|export)\s/m)
    expect(built()).not.toMatch(/zod|safeParse/i)
    expect(built().length).toBeLessThan(2000)
  })

  it('puts two functions on the page, and nothing of electron’s', async () => {
    const { window } = await openDesktop(later)
    const exposed = runPreload(window().webContents)
    expect(Object.keys(exposed)).toEqual(['probewrightBridge'])
    const bridge = exposed.probewrightBridge as Record<string, unknown>
    expect(Object.entries(bridge).map(([name, value]) => [name, typeof value])).toEqual([['ask', 'function'], ['listen', 'function']])
  })

  it('gives the page the text of an event, never the event with its sender', async () => {
    const { window } = await openDesktop(later)
    const { webContents } = window()
    const given: unknown[][] = []
    const { probewrightBridge } = runPreload(webContents)
    const { listen } = probewrightBridge as { listen: (heard: (...args: unknown[]) => void) => () => void }
    listen((...args) => { given.push(args) })
    webContents.send('probewright-contract', 'a text')
    expect(given).toEqual([['a text']])
  })
})
