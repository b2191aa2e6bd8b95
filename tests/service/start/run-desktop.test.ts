/** Waiting for the desktop's report. In the place of Electron stand small programs, each named by what it does. */
import { describe, expect, it } from 'vitest'
import { reportLine } from '../../../src-main/start/desktop-report'
import { runDesktop } from '../../../src-main/start/run-desktop'

const soon = 20_000
/** Runs a program of this body in the desktop's place; what it says besides its report goes to `lines`. */
const run = (body: string, lines: string[] = [], withinMs = soon): ReturnType<typeof runDesktop> =>
  runDesktop(process.execPath, ['-e', body], withinMs, (line) => { lines.push(line) })
const says = (text: string): string => `process.stdout.write(${JSON.stringify(text)});`
const alive = (pid: number): boolean => {
  try {
    process.kill(pid, 0)
    return true
  } catch {
    return false
  }
}

describe('the desktop is waited for', () => {
  it('until it reports that it is open; what else it says is passed on', async () => {
    const lines: string[] = []
    const start = await run(`${says(`a warning\n${reportLine({ kind: 'ready' })}after`)} setTimeout(() => process.exit(3), 200)`, lines)
    if (start.kind !== 'ready') throw new Error(JSON.stringify(start))
    expect(await start.over).toBe(3)
    expect(lines).toEqual(['a warning', 'after'])
  })

  it('and can be told to end', async () => {
    const waits = "process.on('SIGTERM', () => process.exit(0)); setInterval(() => 0, 1000);"
    const start = await run(`${waits} ${says(reportLine({ kind: 'ready' }))}`)
    if (start.kind !== 'ready') throw new Error(JSON.stringify(start))
    start.stop()
    expect(await start.over).toBe(0)
  })

  it.each([{ kind: 'already-open' } as const, { kind: 'refused', words: 'The data folder is in use.\nClose the other.' } as const])(
    'and its refusal is heard although it ends at once: %j', async (report) => {
      expect(await run(says(reportLine(report)))).toEqual(report)
    })

  it('no longer than allowed: it is gone, for good, before anything else opens the data folder', async () => {
    const lines: string[] = []
    const began = performance.now()
    const start = await run("process.on('SIGTERM', () => 0); console.log(process.pid); setInterval(() => 0, 1000)", lines, 1000)
    expect(start).toEqual({ kind: 'failed', words: 'the desktop did not open within 1 s' })
    expect(performance.now() - began).toBeLessThan(6000)
    expect(alive(Number(lines[0]))).toBe(false)
  })

  it('not at all when it crashes, cannot be started, or speaks nonsense', async () => {
    const failed = (words: unknown): object => ({ kind: 'failed', words })
    expect(await run('process.exit(7)')).toEqual(failed('the desktop ended before it opened (exit code 7)'))
    expect(await run("process.kill(process.pid, 'SIGKILL')")).toEqual(failed('the desktop ended before it opened (SIGKILL)'))
    expect(await runDesktop('/nowhere/electron', [], soon)).toEqual(failed(expect.stringMatching(/could not be started .*ENOENT/)))
    const lines: string[] = []
    expect(await run(says('probewright-desktop {"kind":"conquered"}\nprobewright-desktop {\n'), lines)).toMatchObject({ kind: 'failed' })
    expect(lines).toHaveLength(2)
  })
})
