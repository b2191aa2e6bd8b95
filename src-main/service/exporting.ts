/** Makes the bytes of one export after the other in pieces the serial loop does not feel; tells of one that takes long, and can stop it. */
import { Refusal } from './dispatcher'
import { mostBytes } from './downloads'
import type { Turn } from './turns'

/** `done`: runs of `of`. */
export type Progress = { done: number; of: number }

export type Exporting = {
  /** @throws Refusal when it was stopped, is too large, or another is being made. */
  make: (of: number, pieces: AsyncIterable<string>, turn: Turn) => Promise<Buffer>
  /** Nothing happens where none is being made. */
  stop: () => void
}

/** A shorter one is over before its progress is read. */
const toldAfterMs = 1000
const toldEveryMs = 250
/** Copied between two turns of the loop, bytes. */
const copiedAtOnce = 2 ** 20

/** @param most bytes of one export. */
export const createExporting = (tell: (progress: Progress | null) => void, most = mostBytes): Exporting => {
  let present: { stopped: boolean } | null = null

  const encoded = async (of: number, pieces: AsyncIterable<string>, turn: Turn, own: { stopped: boolean }): Promise<Buffer[]> => {
    const parts: Buffer[] = []
    let bytes = 0
    let toldAt = performance.now() + toldAfterMs - toldEveryMs
    for await (const piece of pieces) {
      const part = Buffer.from(piece, 'utf8')
      parts.push(part)
      bytes += part.length
      if (bytes > most) throw new Refusal(`This export would be larger than ${most / 2 ** 20} MB. Nothing was exported; choose fewer runs.`)
      if (performance.now() - toldAt > toldEveryMs) {
        toldAt = performance.now()
        tell({ done: Math.min(of, parts.length), of })
      }
      await turn()
      if (own.stopped) throw new Refusal('The export was stopped. Nothing was exported.')
    }
    return parts
  }

  const joined = async (parts: readonly Buffer[], turn: Turn): Promise<Buffer> => {
    const whole = Buffer.allocUnsafeSlow(parts.reduce((sum, part) => sum + part.length, 0))
    let at = 0
    for (const part of parts) {
      for (let from = 0; from < part.length; from += copiedAtOnce) {
        at += part.copy(whole, at, from, Math.min(part.length, from + copiedAtOnce))
        await turn()
      }
    }
    return whole
  }

  return {
    make: async (of, pieces, turn) => {
      if (present !== null) throw new Refusal('Another export is being made. Wait for it, or stop it on Records.')
      const own = { stopped: false }
      present = own
      try {
        return await joined(await encoded(of, pieces, turn, own), turn)
      } finally {
        present = null
        tell(null)
      }
    },
    stop: () => { if (present !== null) present.stopped = true },
  }
}
