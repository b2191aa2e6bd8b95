/** A pair of pseudo-terminals made by socat: what is written into one end arrives at the other, as over a cable. */
import { spawn, spawnSync, type ChildProcess } from 'node:child_process'
import { closeSync, existsSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

export const socatIsHere = spawnSync('socat', ['-V'], { stdio: 'ignore' }).status === 0

export type PtyPair = {
  /** The end a meter writes into. */
  meterEnd: string
  /** The end the app opens. */
  appEnd: string
  write: (text: string | Uint8Array) => void
  /** Pulls the cable: both ends vanish. */
  unplug: () => Promise<void>
  /** Plugs it in again under the same paths. */
  plugIn: () => Promise<void>
  close: () => Promise<void>
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

export const openPtyPair = async (): Promise<PtyPair> => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-pty-'))
  const meterEnd = join(folder, 'meter')
  const appEnd = join(folder, 'app')
  let socat: ChildProcess | null = null
  let descriptor: number | null = null

  const plugIn = async (): Promise<void> => {
    socat = spawn('socat', [`pty,raw,echo=0,link=${meterEnd}`, `pty,raw,echo=0,link=${appEnd}`], { stdio: 'ignore' })
    for (let turn = 0; turn < 200 && !(existsSync(meterEnd) && existsSync(appEnd)); turn += 1) await pause(10)
    descriptor = openSync(meterEnd, 'r+')
  }
  const unplug = async (): Promise<void> => {
    if (descriptor !== null) closeSync(descriptor)
    descriptor = null
    const ending = socat
    socat = null
    if (ending === null || ending.exitCode !== null) return
    const ended = new Promise((resolve) => { ending.once('exit', resolve) })
    ending.kill()
    await ended
  }
  await plugIn()
  return {
    meterEnd, appEnd, unplug, plugIn,
    write: (text) => {
      if (descriptor === null) throw new Error('the cable is unplugged')
      const bytes = typeof text === 'string' ? Buffer.from(text, 'latin1') : text
      writeSync(descriptor, bytes)
    },
    close: async () => {
      await unplug()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
