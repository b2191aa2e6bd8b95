/** Fetches the desktop's runtime with the electron package's own script, with progress, and with an end to waiting. */
import { spawn } from 'node:child_process'
import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

export type FetchLimits = {
  /** The whole of it. */
  withinMs: number
  /** With no new byte on disk. */
  stillMs: number
  everyMs: number
}
export const usualLimits: FetchLimits = { withinMs: 20 * 60_000, stillMs: 60_000, everyMs: 2000 }

export type Fetched = { kind: 'fetched' } | { kind: 'failed'; words: string }

/** Bytes of all files below a folder that is being written; what vanishes meanwhile counts as nothing. */
const bytesBelow = (folder: string): number => {
  let entries: string[]
  try {
    entries = readdirSync(folder, { recursive: true, encoding: 'utf8' })
  } catch {
    return 0 // not made yet, or just renamed
  }
  return entries.reduce((sum, entry) => {
    const found = statSync(join(folder, entry), { throwIfNoEntry: false })
    return sum + (found?.isFile() === true ? found.size : 0)
  }, 0)
}

const whatToDo = 'Try again with a network that reaches it (a proxy or mirror is set by the ELECTRON_ variables of its own documentation). '
  + 'Until then “npm start” serves the app to your browser, with everything in it.'

/** The script prints a stack; its first line with words is what happened. */
const whatWentWrong = (printed: string, code: number | null): string => {
  const lines = printed.split('\n').map((line) => line.trim()).filter((line) => line !== '')
  const said = lines.find((line) => /error/i.test(line)) ?? lines[0] ?? `its script ended with ${code}`
  return /fetch failed|ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|EHOSTUNREACH|ENETUNREACH/.test(printed)
    ? `its server could not be reached from here (${said})` : said
}

/**
 * @param electron the folder of the electron package; its own settings (ELECTRON_…) are left as they are.
 * @param say gets a line of progress now and then.
 */
export const fetchRuntime = async (electron: string, say: (line: string) => void, limits: FetchLimits = usualLimits): Promise<Fetched> => {
  // A folder of its own, so that what has arrived can be told, and nothing half fetched stays behind.
  const arriving = mkdtempSync(join(tmpdir(), 'probewright-fetch-'))
  const began = performance.now()
  const child = spawn(process.execPath, [join(electron, 'install.js')], {
    stdio: ['ignore', 'pipe', 'pipe'], env: { ...process.env, TMPDIR: arriving, TEMP: arriving, TMP: arriving },
  })
  let wrong = ''
  child.stderr.on('data', (chunk: Buffer) => { wrong = `${wrong}${chunk.toString()}`.slice(-4000) })
  child.stdout.resume()
  const over = new Promise<number | null>((resolve) => {
    child.once('exit', resolve)
    child.once('error', (error) => {
      wrong += error.message
      resolve(null)
    })
  })

  let stoppedBecause: string | null = null
  let most = 0
  let grewAt = began
  const watching = setInterval(() => {
    const now = performance.now()
    const bytes = bytesBelow(arriving) + bytesBelow(join(electron, 'dist'))
    if (bytes > most) grewAt = now
    most = Math.max(most, bytes)
    say(`Fetching the desktop’s runtime: ${(bytes / 1e6).toFixed(0)} MB on disk after ${((now - began) / 1000).toFixed(0)} s …`)
    if (now - began > limits.withinMs) stoppedBecause = `it was not done after ${Math.round(limits.withinMs / 1000)} s`
    else if (now - grewAt > limits.stillMs) stoppedBecause = `nothing arrived for ${Math.round(limits.stillMs / 1000)} s`
    if (stoppedBecause !== null) child.kill('SIGKILL')
  }, limits.everyMs)
  const code = await over
  clearInterval(watching)
  rmSync(arriving, { recursive: true, force: true })
  if (code === 0) return { kind: 'fetched' }
  const why = stoppedBecause ?? whatWentWrong(wrong, code)
  return { kind: 'failed', words: `The desktop’s runtime could not be fetched: ${why}. ${whatToDo}` }
}
