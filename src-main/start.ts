/** npm start: chooses the host, says why, and falls back to the browser when the desktop does not open. */
import { electronPackage, findRuntime } from './start/electron-runtime'
import { fetchRuntime } from './start/fetch-runtime'
import { cannotOpen, chooseHost, noWindowHere, type StartFacts } from './start/host-choice'
import { ownPath } from './start/app-service'
import { desktopArguments, readOptions, usage, type StartOptions } from './start/options'
import { runDesktop } from './start/run-desktop'
import { serveBrowser } from './start/serve-browser'

const reportWithinMs = 10_000
const appFolder = ownPath('../..')

const fail = (words: string): never => {
  process.stderr.write(`${words}\n`)
  process.exit(1)
}

const optionsOrUsage = (): StartOptions => {
  try {
    return readOptions(process.argv.slice(2))
  } catch (error) {
    return fail(`${error instanceof Error ? error.message : String(error)}\n\n${usage}`)
  }
}

const runtimeHere = (): string | null => findRuntime(electronPackage(appFolder), process.env.ELECTRON_OVERRIDE_DIST_PATH)

const factsOf = ({ host, open, port }: StartOptions): StartFacts => ({
  asked: host, wantsAddress: !open || port !== null, platform: process.platform, root: process.getuid?.() === 0,
  display: (process.env.DISPLAY ?? '') !== '' || (process.env.WAYLAND_DISPLAY ?? '') !== '',
  runtime: runtimeHere(),
})

/** Fetches what is missing, unless no window could open here all the same. */
const fetchWhatIsMissing = async (facts: StartFacts): Promise<StartFacts> => {
  const electron = electronPackage(appFolder)
  if (facts.runtime !== null || noWindowHere(facts) !== null || electron === null) return facts
  process.stdout.write('The desktop’s runtime is fetched, once, from where the electron package keeps it.\n')
  const fetched = await fetchRuntime(electron, (line) => { process.stdout.write(process.stdout.isTTY ? `\r${line}` : `${line}\n`) })
  if (process.stdout.isTTY) process.stdout.write('\n')
  if (fetched.kind === 'failed') fail(fetched.words)
  return { ...facts, runtime: runtimeHere() }
}

const openDesktop = async (executable: string, options: StartOptions): Promise<void> => {
  const desktop = await runDesktop(executable, [appFolder, ...desktopArguments(options)], reportWithinMs)
  switch (desktop.kind) {
    case 'ready': {
      process.once('SIGINT', desktop.stop)
      process.once('SIGTERM', desktop.stop)
      process.exitCode = await desktop.over
      return
    }
    case 'already-open':
      process.stdout.write('Probewright is already open on this data folder; its window was brought to the front.\n')
      return
    case 'refused':
      return fail(desktop.words)
    case 'failed':
      if (options.host === 'desktop') fail(cannotOpen(desktop.words))
      process.stdout.write(`In your browser, because ${desktop.words}.\n`)
      return serveBrowser(options)
  }
}

const main = async (): Promise<void> => {
  const options = optionsOrUsage()
  if (options.help) {
    process.stdout.write(`${usage}\n`)
    return
  }
  const facts = factsOf(options)
  const choice = chooseHost(options.fetch ? await fetchWhatIsMissing(facts) : facts)
  switch (choice.host) {
    case 'none':
      return fail(choice.because)
    case 'desktop':
      return openDesktop(choice.executable, options)
    case 'browser':
      if (choice.because !== null) process.stdout.write(`${choice.because}\n`)
      return serveBrowser(options)
  }
}

main().catch((error: unknown) => { fail(error instanceof Error ? error.message : String(error)) })
