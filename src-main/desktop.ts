/** The desktop's entry: the same service as in the browser host, with a window of its own. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { app, BrowserWindow, dialog, ipcMain, Menu, nativeTheme, powerSaveBlocker, protocol, screen, session, shell } from 'electron'
import { answerPages, tellPage } from './desktop/contract-ipc'
import { menuOf } from './desktop/menu'
import { closeSession, holdPages } from './desktop/permissions'
import { tellOfSaving } from './desktop/saved-files'
import { answerFrom, ownScheme, scheme } from './desktop/scheme'
import { keepAwakeDuringRuns } from './desktop/wake-lock'
import { bringForward, openWindow } from './desktop/window'
import { openAppService, ownPath, startPractice } from './start/app-service'
import { reportLine, type DesktopReport } from './start/desktop-report'
import { readOptions, type StartOptions } from './start/options'

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))
const note = (error: unknown): void => {
  process.stderr.write(`${error instanceof Error ? error.stack ?? error.message : String(error)}\n`)
}

/** Resolves once it is written, so that leaving right after loses nothing. */
const tellStart = (report: DesktopReport): Promise<void> =>
  new Promise((resolve) => { process.stdout.write(reportLine(report), () => resolve()) })

/** Says why the app cannot go on, where the person will see it, and ends. */
const giveUp = async (words: string, fromStart: boolean): Promise<void> => {
  if (fromStart) await tellStart({ kind: 'refused', words })
  else dialog.showErrorBox('Probewright cannot open', words)
  app.exit(1)
}

const showFolder = (folder: string): void => {
  shell.openPath(folder).then((why) => { if (why !== '') note(new Error(`The folder ${folder} could not be shown: ${why}`)) }, note)
}

const open = async (
  { dataFolder, practice, fromStart }: StartOptions, ownFolder: string, opened: (window: BrowserWindow) => void,
): Promise<void> => {
  await app.whenReady()
  const service = openAppService(dataFolder)
  const letSleep = keepAwakeDuringRuns(powerSaveBlocker, service.dispatcher)
  app.once('will-quit', (event) => {
    letSleep()
    const putBack = service.close()
    if (putBack === null) return
    event.preventDefault()
    void putBack.finally(() => { app.exit() })
  })
  if (practice !== null) await startPractice(service, practice)

  closeSession(session.defaultSession)
  session.defaultSession.protocol.handle(scheme, answerFrom(service.assets))
  answerPages(ipcMain, service.dispatcher)
  tellOfSaving(session.defaultSession, service.dispatcher)
  const developer = !app.isPackaged
  Menu.setApplicationMenu(Menu.buildFromTemplate(menuOf({
    platform: process.platform, developer,
    showDataFolder: () => showFolder(dataFolder),
  })))

  const main = screen.getPrimaryDisplay()
  const others = screen.getAllDisplays().filter(({ id }) => id !== main.id)
  let told = false
  const window = openWindow({
    open: (options) => new BrowserWindow(options),
    displays: [main, ...others].map(({ workArea }) => workArea), dark: nativeTheme.shouldUseDarkColors,
    icon: ownPath('../../src-main/desktop/icon.png'), preload: ownPath('../preload/preload.cjs'), placeFile: join(ownFolder, 'window.json'),
    developer, report: note,
    shown: () => {
      if (fromStart && !told) void tellStart({ kind: 'ready' })
      told = true
    },
    failed: (words) => { void giveUp(words, fromStart && !told) },
  })
  tellPage(window.webContents, service.dispatcher, note)
  opened(window)
}

const begin = async (): Promise<void> => {
  let fromStart = process.argv.includes('--from-start')
  // The terminal may be closed before the window is.
  if (fromStart) process.stdout.on('error', () => { fromStart = false })
  try {
    const options = readOptions(process.argv.slice(1), false)
    const ownFolder = join(options.dataFolder, 'desktop')
    mkdirSync(ownFolder, { recursive: true, mode: 0o700 })
    // One instance per data folder: the lock is kept in this folder.
    app.setPath('userData', ownFolder)
    app.setPath('sessionData', ownFolder)
    if (!app.requestSingleInstanceLock()) {
      if (fromStart) await tellStart({ kind: 'already-open' })
      app.exit(0)
      return
    }
    let window: BrowserWindow | null = null
    app.on('second-instance', () => { if (window !== null && !window.isDestroyed()) bringForward(window) })
    app.on('window-all-closed', () => app.quit())
    await open(options, ownFolder, (own) => { window = own })
  } catch (error) {
    await giveUp(wordsOf(error), fromStart)
  }
}

// All of this must be said before Electron is ready.
protocol.registerSchemesAsPrivileged([ownScheme])
app.enableSandbox()
// Chromium speaks on Linux only when told to use the system's speech service (from memory).
if (process.platform === 'linux') app.commandLine.appendSwitch('enable-speech-dispatcher')
holdPages(app)
void begin()
