/** The stand-in's window and its page: it loads its page from the scheme's handler, and hands every message through structuredClone. */
import { EventEmitter } from 'node:events'

type Frame = { url: string; parent: Frame | null }
type Area = { x: number; y: number; width: number; height: number }

export type World = {
  ready: boolean
  /** Whether this process gets the single instance lock. */
  firstInstance: boolean
  displays: { id: number; workArea: Area }[]
  paths: Record<string, string>
  /** Codes the app ended with; a real one would be gone after the first. */
  exits: number[]
  schemes: unknown[]
  sandboxed: boolean
  windows: StandInWindow[]
  errorBoxes: string[]
  opened: string[]
  menu: unknown[] | null
  /** The blockers that keep the display on. */
  awake: Set<number>
  handlers: Map<string, (event: unknown, message: unknown) => Promise<unknown>>
  serve: { scheme: string; answer: (url: string, method?: string) => Promise<Response> } | null
  switches: string[]
  permissionRequest: ((contents: unknown, permission: string, answer: (given: boolean) => void, details: object) => void) | null
  permissionCheck: ((contents: unknown, permission: string, origin: string, details: object) => boolean) | null
  devicePermission: (() => boolean) | null
  beforeRequest: ((details: { url: string }, answer: (what: { cancel?: boolean }) => void) => void) | null
  /** A download as the session hands it out, ended at once. */
  saves: (name: string, path: string, state: 'completed' | 'cancelled' | 'interrupted') => void
  contentsCreated: (contents: StandInContents) => void
}

type OpenHandler = (details: { url: string }) => { action: string }

export class StandInContents extends EventEmitter {
  mainFrame: Frame = { url: '', parent: null }
  openHandler: OpenHandler | null = null
  loads: string[] = []
  crashed = false
  private gone = false
  /** What the preload listens to, by channel. */
  readonly heard = new EventEmitter()

  constructor(private readonly world: World) { super() }

  getURL(): string { return this.mainFrame.url }
  isDestroyed(): boolean { return this.gone }
  isCrashed(): boolean { return this.crashed }
  setWindowOpenHandler(handler: OpenHandler): void { this.openHandler = handler }
  send(channel: string, message: unknown): void {
    if (this.gone || this.crashed) throw new Error('stand-in for electron: sent to a page that is gone')
    this.heard.emit(channel, {}, structuredClone(message))
  }
  /** As ipcRenderer.invoke of this page does; `frame` for one within it. */
  async invoke(channel: string, message: unknown, frame: Frame | null = this.mainFrame): Promise<unknown> {
    const handler = this.world.handlers.get(channel)
    if (handler === undefined) throw new Error(`No handler registered for '${channel}'`)
    return structuredClone(await handler({ sender: this, senderFrame: frame }, structuredClone(message)))
  }
  async load(url: string): Promise<void> {
    this.loads.push(url)
    const { serve } = this.world
    const answer = serve !== null && url.startsWith(`${serve.scheme}://`) ? await serve.answer(url) : null
    this.crashed = false
    if (answer === null || !answer.ok) {
      this.emit('did-fail-load', {}, -6, 'ERR_FILE_NOT_FOUND', url, true)
      throw new Error(`ERR_FILE_NOT_FOUND (-6) loading '${url}'`)
    }
    this.mainFrame = { url, parent: null }
    this.emit('did-finish-load')
  }
  reload(): void { void this.load(this.mainFrame.url) }
  crash(): void {
    this.crashed = true
    this.emit('render-process-gone', {}, { reason: 'crashed', exitCode: 5 })
  }
  /** Whether the page gets there. */
  tries(event: 'will-navigate' | 'will-frame-navigate' | 'will-redirect' | 'will-attach-webview', url: string): boolean {
    let prevented = false
    this.emit(event, { url, preventDefault: () => { prevented = true } }, {}, {})
    return !prevented
  }
  destroy(): void {
    this.gone = true
    this.emit('destroyed')
  }
}

export class StandInWindow extends EventEmitter {
  readonly webContents: StandInContents
  visible = false
  minimized = false
  maximized = false
  fullScreen = false
  focused = 0
  private bounds: Area
  private gone = false

  constructor(readonly options: Record<string, unknown>, private readonly world: World, private readonly closed: () => void) {
    super()
    const size = (name: string, usual: number): number => (typeof options[name] === 'number' ? options[name] : usual)
    this.bounds = { x: size('x', 100), y: size('y', 80), width: size('width', 800), height: size('height', 600) }
    this.webContents = new StandInContents(world)
    world.windows.push(this)
    world.contentsCreated(this.webContents)
  }

  loadURL(url: string): Promise<void> { return this.webContents.load(url) }
  getNormalBounds(): Area { return this.bounds }
  moveTo(bounds: Area): void { this.bounds = bounds; this.emit('move'); this.emit('resize') }
  isMaximized(): boolean { return this.maximized }
  maximize(): void { this.maximized = true; this.visible = true }
  isFullScreen(): boolean { return this.fullScreen }
  setFullScreen(on: boolean): void { this.fullScreen = on }
  isVisible(): boolean { return this.visible }
  isMinimized(): boolean { return this.minimized }
  isDestroyed(): boolean { return this.gone }
  show(): void { this.visible = true }
  restore(): void { this.minimized = false }
  focus(): void { this.focused += 1 }
  close(): void {
    if (this.gone) return
    this.emit('close', { preventDefault: () => undefined })
    this.gone = true
    this.world.windows.splice(this.world.windows.indexOf(this), 1)
    this.webContents.destroy()
    this.emit('closed')
    this.closed()
  }
}
