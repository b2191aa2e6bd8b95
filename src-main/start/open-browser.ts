/** Opens a browser by a page only this account can read: a token on a command line would show in the list of processes. */
import { spawn } from 'node:child_process'
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

export const openBrowser = (address: string): void => {
  const opener = process.platform === 'win32' ? 'explorer' : process.platform === 'darwin' ? 'open' : 'xdg-open'
  if (process.platform === 'linux' && process.env.DISPLAY === undefined && process.env.WAYLAND_DISPLAY === undefined) return
  const own = mkdtempSync(join(tmpdir(), 'probewright-'))
  const page = join(own, 'open.html')
  writeFileSync(page,
    `<!doctype html><meta charset="utf-8"><title>Probewright</title><meta http-equiv="refresh" content="0;url=${address}">`,
    { mode: 0o600 })
  chmodSync(page, 0o600)
  const child = spawn(opener, [page], { stdio: 'ignore', detached: true })
  child.on('error', () => { process.stderr.write('No browser could be opened; open the address above.\n') })
  child.unref()
  const clean = (): void => rmSync(own, { recursive: true, force: true })
  setTimeout(clean, 60_000).unref()
  process.once('exit', clean)
}
