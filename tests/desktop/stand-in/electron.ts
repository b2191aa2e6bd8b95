/**
 * A stand-in for the electron module, not Electron: just enough of it that the built main process can be loaded and driven without the
 * runtime. What Electron would refuse (too late a call, a folder that is not there, a message that cannot be cloned) is refused here too.
 */
import { EventEmitter } from 'node:events'
import { existsSync } from 'node:fs'
import { StandInWindow, type World } from './window'

const never = (what: string): never => { throw new Error(`stand-in for electron: ${what}`) }

/** What happened, and what the test decides. */
export const world: World = {
  ready: false, firstInstance: true, displays: [{ id: 1, workArea: { x: 0, y: 0, width: 1920, height: 1040 } }],
  paths: {}, exits: [], schemes: [], sandboxed: false, windows: [], errorBoxes: [],
  opened: [], menu: null, awake: new Set(), handlers: new Map(),
  serve: null, switches: [], permissionRequest: null, permissionCheck: null,
  devicePermission: null, beforeRequest: null, saves: () => undefined, contentsCreated: () => undefined,
}
world.contentsCreated = (contents) => { app.emit('web-contents-created', {}, contents) }

let becomeReady: () => void = () => undefined
const ready = new Promise<void>((resolve) => { becomeReady = () => { world.ready = true; resolve() } })
const beforeReady = (what: string): void => { if (world.ready) never(`${what} must be called before the app is ready`) }
const whenReady = (what: string): void => { if (!world.ready) never(`${what} was used before the app is ready`) }

const quit = (): void => {
  app.emit('before-quit', {})
  for (const window of [...world.windows]) window.close()
  app.emit('will-quit', {})
  world.exits.push(0)
}

export const app = Object.assign(new EventEmitter(), {
  isPackaged: false,
  setPath: (name: string, path: string): void => {
    if (!existsSync(path)) never(`the folder ${path} does not exist`)
    world.paths[name] = path
  },
  requestSingleInstanceLock: (): boolean =>
    (world.paths.userData === undefined ? never('the lock was asked for before its folder was set') : world.firstInstance),
  // Electron is ready only when the entry has been evaluated.
  whenReady: (): Promise<void> => { setTimeout(becomeReady, 0); return ready },
  enableSandbox: (): void => { beforeReady('enableSandbox'); world.sandboxed = true },
  commandLine: { appendSwitch: (name: string): void => { beforeReady('appendSwitch'); world.switches.push(name) } },
  exit: (code: number): void => { world.exits.push(code) },
  quit,
})

export const protocol = {
  registerSchemesAsPrivileged: (schemes: unknown[]): void => { beforeReady('registerSchemesAsPrivileged'); world.schemes.push(...schemes) },
}

export const session = {
  defaultSession: Object.assign(new EventEmitter(), {
    protocol: {
      handle: (scheme: string, serve: (request: Request) => Response | Promise<Response>): void => {
        whenReady('protocol.handle')
        world.serve = { scheme, answer: async (url, method = 'GET') => serve({ url, method } as Request) }
      },
    },
    setPermissionRequestHandler: (handler: World['permissionRequest']): void => { world.permissionRequest = handler },
    setPermissionCheckHandler: (handler: World['permissionCheck']): void => { world.permissionCheck = handler },
    setDevicePermissionHandler: (handler: World['devicePermission']): void => { world.devicePermission = handler },
    webRequest: { onBeforeRequest: (handler: World['beforeRequest']): void => { world.beforeRequest = handler } },
  }),
}

world.saves = (name, path, state) => {
  const item = Object.assign(new EventEmitter(), { getFilename: () => name, getSavePath: () => path })
  session.defaultSession.emit('will-download', {}, item, {})
  item.emit('done', {}, state)
}

export const ipcMain = {
  handle: (channel: string, handler: (event: unknown, message: unknown) => Promise<unknown>): void => {
    if (world.handlers.has(channel)) never(`a second handler for ${channel}`)
    world.handlers.set(channel, handler)
  },
}

let blockers = 0
export const powerSaveBlocker = {
  start: (kind: string): number => {
    if (kind !== 'prevent-display-sleep') never(`a blocker of kind ${kind} lets the display sleep`)
    blockers += 1
    world.awake.add(blockers)
    return blockers
  },
  stop: (id: number): void => { if (!world.awake.delete(id)) never(`there is no blocker ${id}`) },
}

export const screen = {
  getPrimaryDisplay: () => { whenReady('screen'); return world.displays[0] },
  getAllDisplays: () => world.displays,
}
export const nativeTheme = { shouldUseDarkColors: true }
export const dialog = { showErrorBox: (title: string, words: string): void => { world.errorBoxes.push(`${title}: ${words}`) } }
export const shell = { openPath: async (path: string): Promise<string> => { world.opened.push(path); return '' } }
export const Menu = {
  buildFromTemplate: (template: unknown[]): unknown[] => template,
  setApplicationMenu: (menu: unknown[]): void => { world.menu = menu },
}

export class BrowserWindow extends StandInWindow {
  constructor(options: Record<string, unknown>) {
    whenReady('BrowserWindow')
    super(options, world, () => { if (world.windows.length === 0) app.emit('window-all-closed') })
  }
}
