/** Runs the built preload as a sandbox would: in a context of its own, with a require that knows only what a sandboxed preload may have. */
import events from 'node:events'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import timers from 'node:timers'
import url from 'node:url'
import { runInNewContext } from 'node:vm'
import type { DesktopBridge } from '../../../src-core/desktop-bridge'
import { root } from '../../bench-tools/running-app'
import type { StandInContents } from './window'

export type Exposed = Record<string, unknown>

/** What the preload put on the page's window. @throws whatever the preload throws, a forbidden require first of all. */
export const runPreload = (contents: StandInContents): Exposed => {
  const exposed: Exposed = {}
  const electron = {
    contextBridge: { exposeInMainWorld: (name: string, api: unknown) => { exposed[name] = api } },
    ipcRenderer: {
      invoke: (channel: string, message: unknown) => contents.invoke(channel, message),
      on: (channel: string, listener: (...args: unknown[]) => void) => { contents.heard.on(channel, listener) },
      removeListener: (channel: string, listener: (...args: unknown[]) => void) => { contents.heard.off(channel, listener) },
    },
  }
  const allowed: Record<string, unknown> = { electron, events, 'node:events': events, timers, 'node:timers': timers, url, 'node:url': url }
  runInNewContext(readFileSync(join(root, 'out/preload/preload.cjs'), 'utf8'), {
    require: (name: string) => {
      if (!Object.hasOwn(allowed, name)) throw new Error(`a sandboxed preload cannot require “${name}”`)
      return allowed[name]
    },
    module: { exports: {} }, exports: {},
  })
  return exposed
}

export const bridgeOf = (contents: StandInContents): DesktopBridge => {
  const { probewrightBridge } = runPreload(contents)
  if (probewrightBridge === undefined) throw new Error('the preload exposed no bridge')
  return probewrightBridge as DesktopBridge
}
