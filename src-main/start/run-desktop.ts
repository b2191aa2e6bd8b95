/** Runs the desktop in a process of its own, and waits for its report: a window that never opens must not hold up the bench. */
import { spawn, type ChildProcess } from 'node:child_process'
import { createInterface } from 'node:readline'
import { readReport, type DesktopReport } from './desktop-report'

export type DesktopStart =
  | Exclude<DesktopReport, { kind: 'ready' }>
  /** `over` resolves with its exit code when it ends; `stop` asks it to end. */
  | { kind: 'ready'; over: Promise<number>; stop: () => void }
  /** It could not be started, ended without a report, or did not report in time; it is gone. */
  | { kind: 'failed'; words: string }

const ended = (child: ChildProcess): Promise<{ code: number | null; signal: NodeJS.Signals | null }> =>
  new Promise((resolve) => { child.once('exit', (code, signal) => resolve({ code, signal })) })

/** @param passOn gets every line of its output that is not its report. */
export const runDesktop = async (
  executable: string, args: string[], withinMs: number, passOn: (line: string) => void = (line) => { process.stdout.write(`${line}\n`) },
): Promise<DesktopStart> => {
  const child = spawn(executable, args, { stdio: ['ignore', 'pipe', 'inherit'] })
  const notStarted = new Promise<string>((resolve) => { child.once('error', (error) => resolve(error.message)) })
  const over = ended(child)
  const reported = new Promise<DesktopReport>((resolve) => {
    createInterface({ input: child.stdout }).on('line', (line) => {
      const report = readReport(line)
      if (report === null) passOn(line)
      else resolve(report)
    })
  })
  let timer: NodeJS.Timeout | null = null
  const late = new Promise<'late'>((resolve) => { timer = setTimeout(resolve, withinMs, 'late') })
  /** The last line may still be in the pipe when the process has ended. */
  const endedUnheard = over.then(async (how) => {
    await new Promise((resolve) => { child.stdout.once('close', resolve); if (child.stdout.closed) resolve(null) })
    return how
  })

  const first = await Promise.race([reported, late, notStarted, endedUnheard])
  if (timer !== null) clearTimeout(timer)
  if (first === 'late') {
    child.kill('SIGKILL')
    await over
    return { kind: 'failed', words: `the desktop did not open within ${withinMs / 1000} s` }
  }
  if (typeof first === 'string') return { kind: 'failed', words: `the desktop’s runtime could not be started (${first})` }
  if (!('kind' in first)) {
    return { kind: 'failed', words: `the desktop ended before it opened (${first.signal ?? `exit code ${first.code}`})` }
  }
  if (first.kind !== 'ready') {
    await over
    return first
  }
  return { kind: 'ready', over: over.then(({ code }) => code ?? 1), stop: () => { child.kill('SIGTERM') } }
}
