/** npm start: reads the options, opens the service, and serves it to a browser on this machine. */
import { spawn } from 'node:child_process'
import { chmodSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { homedir, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { openBrowserHost } from './browser-host'
import { openService } from './service/service'

const usage = `npm start -- [options]
  --host browser     serve the app to a browser on this machine (the only host so far)
  --port N           port on 127.0.0.1; 0 means any free one (usual: 0)
  --data DIR         data folder: runs, meters, your own boards and descriptions
  --no-open          do not open a browser; the address stands on a line of its own
  --practice auto    start a practice board at once, played by itself
  --seed N           with --practice: which board and which fault
  --fault R4:open    with --practice: this fault instead of a drawn one; may be given more than once
  --help             this text`

const folder = (path: string): string => fileURLToPath(new URL(path, import.meta.url))

const usualDataFolder = (): string => {
  switch (process.platform) {
    case 'win32': return join(process.env.APPDATA ?? join(homedir(), 'AppData', 'Roaming'), 'Probewright')
    case 'darwin': return join(homedir(), 'Library', 'Application Support', 'Probewright')
    default: return join(process.env.XDG_DATA_HOME ?? join(homedir(), '.local', 'share'), 'probewright')
  }
}

const fail = (words: string): never => {
  process.stderr.write(`${words}\n`)
  process.exit(1)
}

const readOptions = () => {
  try {
    const { values } = parseArgs({
      options: {
        host: { type: 'string' }, port: { type: 'string' }, data: { type: 'string' }, 'no-open': { type: 'boolean' },
        practice: { type: 'string' }, seed: { type: 'string' }, fault: { type: 'string', multiple: true }, help: { type: 'boolean' },
      },
    })
    return values
  } catch (error) {
    return fail(`${error instanceof Error ? error.message : String(error)}\n\n${usage}`)
  }
}

const wholeNumber = (name: string, text: string | undefined, most: number): number | undefined => {
  if (text === undefined) return undefined
  const value = Number(text)
  return Number.isInteger(value) && value >= 0 && value <= most ? value : fail(`--${name} ${text}: must be a whole number from 0 to ${most}.\n\n${usage}`)
}

/** Opens a browser by a page only this account can read: a token on a command line would show in the list of processes. */
const openBrowser = (address: string): void => {
  const opener = process.platform === 'win32' ? 'explorer' : process.platform === 'darwin' ? 'open' : 'xdg-open'
  if (process.platform === 'linux' && process.env.DISPLAY === undefined && process.env.WAYLAND_DISPLAY === undefined) return
  const own = mkdtempSync(join(tmpdir(), 'probewright-'))
  const page = join(own, 'open.html')
  writeFileSync(page, `<!doctype html><meta charset="utf-8"><title>Probewright</title><meta http-equiv="refresh" content="0;url=${address}">`, { mode: 0o600 })
  chmodSync(page, 0o600)
  const child = spawn(opener, [page], { stdio: 'ignore', detached: true })
  child.on('error', () => { process.stderr.write('No browser could be opened; open the address above.\n') })
  child.unref()
  const clean = (): void => rmSync(own, { recursive: true, force: true })
  setTimeout(clean, 60_000).unref()
  process.once('exit', clean)
}

const main = async (): Promise<void> => {
  const options = readOptions()
  if (options.help === true) {
    process.stdout.write(`${usage}\n`)
    return
  }
  if (options.host !== undefined && options.host !== 'browser') fail(`--host ${options.host}: only “browser” is here so far.\n\n${usage}`)
  if (options.practice !== undefined && options.practice !== 'auto') fail(`--practice ${options.practice}: only “auto” is here so far.\n\n${usage}`)
  const port = wholeNumber('port', options.port, 65535) ?? 0
  const seed = wholeNumber('seed', options.seed, 2 ** 31)
  const { version } = JSON.parse(readFileSync(folder('../../package.json'), 'utf8')) as { version: string }

  const service = openService({
    dataFolder: options.data ?? usualDataFolder(), builtInFolder: folder('../../fixtures'), pageFolder: folder('../renderer'), workerFile: folder('./worker.js'), version,
    report: (error) => { process.stderr.write(`${error instanceof Error ? error.stack ?? error.message : String(error)}\n`) },
  })
  const host = await openBrowserHost(port, service.dispatcher, service.assets)

  let closing = false
  const close = (): void => {
    if (closing) return
    closing = true
    void host.close().then(() => { service.close(); process.exit(0) })
  }
  process.once('SIGINT', close)
  process.once('SIGTERM', close)

  if (options.practice === 'auto') {
    const answer = await service.dispatcher.dispatch({
      id: 0, command: 'start-practice', input: { ...(seed === undefined ? {} : { seed }), ...(options.fault === undefined ? {} : { faults: options.fault }) },
    })
    if ('error' in answer) {
      await host.close()
      service.close()
      fail(answer.error)
    }
  }
  process.stdout.write(options['no-open'] === true ? `${host.address}\n` : `Probewright is at\n${host.address}\nStop it with Ctrl+C.\n`)
  if (options['no-open'] !== true) openBrowser(host.address)
}

main().catch((error: unknown) => { fail(error instanceof Error ? error.message : String(error)) })
