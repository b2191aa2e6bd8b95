/** The one window: locked down, put where it stood last, and loaded anew should its page crash. */
import type { BrowserWindow, BrowserWindowConstructorOptions, Rectangle } from 'electron'
import { pageAddress } from './scheme'
import { placeWindow, readWindowPlace, smallest, writeWindowPlace } from './window-place'

export type WindowSetup = {
  open: (options: BrowserWindowConstructorOptions) => BrowserWindow
  /** Work areas, the main display's first. */
  displays: readonly Rectangle[]
  dark: boolean
  icon: string
  preload: string
  /** Where its place is kept. */
  placeFile: string
  developer: boolean
  report: (error: unknown) => void
  /** The page has been drawn. */
  shown: () => void
  /** The page cannot be shown. */
  failed: (words: string) => void
}

const keepPlaceAfterMs = 500
/** A page that crashes again within this time is not loaded again. */
const crashesAgainMs = 30_000

const keepPlace = (window: BrowserWindow, { placeFile, report }: WindowSetup): void => {
  let due: NodeJS.Timeout | null = null
  const keep = (): void => {
    if (due !== null) clearTimeout(due)
    due = null
    if (window.isDestroyed()) return
    try {
      writeWindowPlace(placeFile, { ...window.getNormalBounds(), maximized: window.isMaximized(), fullScreen: window.isFullScreen() })
    } catch (error) {
      report(error)
    }
  }
  const keepSoon = (): void => {
    if (due !== null) clearTimeout(due)
    due = setTimeout(keep, keepPlaceAfterMs)
  }
  window.on('resize', keepSoon)
  window.on('move', keepSoon)
  window.on('close', keep)
}

const watchPage = (window: BrowserWindow, { shown, failed }: WindowSetup): void => {
  const page = window.webContents
  let crashedAt = Number.NEGATIVE_INFINITY
  page.on('did-finish-load', () => {
    if (!window.isVisible()) window.show()
    shown()
  })
  page.on('did-fail-load', (_event, code, description, address, isMainFrame) => {
    if (!isMainFrame) return
    const what = `The window’s page ${address} could not be loaded (${description || code}).`
    failed(`${what} Reinstall the app, or use “npm start -- --host browser”.`)
  })
  page.on('render-process-gone', (_event, { reason }) => {
    if (reason === 'clean-exit' || window.isDestroyed()) return
    const again = performance.now() - crashedAt < crashesAgainMs
    crashedAt = performance.now()
    if (!again) return page.reload()
    const what = `The window’s page ended twice within half a minute (${reason}).`
    failed(`${what} What was recorded is safe; start the app again and go on with the run.`)
  })
}

export const openWindow = (setup: WindowSetup): BrowserWindow => {
  const { maximized, fullScreen, ...place } = placeWindow(readWindowPlace(setup.placeFile), setup.displays)
  const window = setup.open({
    ...place, minWidth: smallest.width, minHeight: smallest.height, show: false, title: 'Probewright', icon: setup.icon,
    backgroundColor: setup.dark ? '#15191c' : '#f3f2ec', autoHideMenuBar: true,
    webPreferences: {
      preload: setup.preload, sandbox: true, contextIsolation: true,
      nodeIntegration: false, nodeIntegrationInWorker: false, nodeIntegrationInSubFrames: false, webSecurity: true,
      allowRunningInsecureContent: false, webviewTag: false, devTools: setup.developer,
      // The checker would fetch its dictionaries from the network.
      spellcheck: false,
      // A tone must sound with both hands on the probes, and with another window in front.
      autoplayPolicy: 'no-user-gesture-required', backgroundThrottling: false,
    },
  })
  if (maximized) window.maximize()
  if (fullScreen) window.setFullScreen(true)
  keepPlace(window, setup)
  watchPage(window, setup)
  // The page's title must not stand for the app's.
  window.on('page-title-updated', (event) => event.preventDefault())
  window.loadURL(pageAddress).catch(setup.report)
  return window
}

/** To the front, from wherever it is. */
export const bringForward = (window: BrowserWindow): void => {
  if (window.isMinimized()) window.restore()
  window.show()
  window.focus()
}
