/** How long work holds up the loop that serves the serial line. */
import { readFileSync } from 'node:fs'

/** `cpuMs`: in processor time of the loop's thread, so that other work on the machine, which a clock on the wall sees too, is left out. */
export type Block = { wallMs: number; cpuMs: number }

/** Of the main thread alone where the system tells it (Linux: proc(5), schedstat, ns on the processor), else of the whole program. */
const usedMs = (): number => {
  try {
    return Number(readFileSync(`/proc/self/task/${process.pid}/schedstat`, 'utf8').split(' ')[0]) / 1e6
  } catch {
    const { user, system } = process.cpuUsage()
    return (user + system) / 1000
  }
}

/** The longest time between two beats of a 1 ms timer while `work` goes on, and the most processor time it used between two. */
export const longestBlock = async (work: () => Promise<unknown>): Promise<Block> => {
  const longest = { wallMs: 0, cpuMs: 0 }
  let [before, used] = [performance.now(), usedMs()]
  const look = (): void => {
    longest.wallMs = Math.max(longest.wallMs, performance.now() - before)
    longest.cpuMs = Math.max(longest.cpuMs, usedMs() - used)
    before = performance.now()
    used = usedMs()
  }
  const beat = setInterval(look, 1)
  await work()
  // What the end of the work held up is seen by the next beat.
  await new Promise((resolve) => { setTimeout(resolve, 5) })
  clearInterval(beat)
  return longest
}
