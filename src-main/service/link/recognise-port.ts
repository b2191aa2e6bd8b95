/** Recognises what hangs on a port: opens it as core's search says, hands over what arrives, sends what core says may be sent. */
import { existsSync } from 'node:fs'
import type { MeterDescription, PortSettings } from '../../../src-core/meter/description'
import { askWords, openAsking } from '../../../src-core/meter/recognise/asking'
import { openListening } from '../../../src-core/meter/recognise/listening'
import { withinSeconds, type RecogniseOutcome } from '../../../src-core/meter/recognise/outcome'
import type { Search, Step } from '../../../src-core/meter/recognise/search'
import type { Seconds } from '../../../src-core/quantity/units'
import { createTurns } from '../turns'
import { openPort, type BytePort } from './open-port'

export type RecogniseProgress = { path: string; words: string; share: number }

export type PortRecogniser = {
  /**
   * Listens; where that found nothing that speaks and `ask` is true, asks. The technician must have agreed to `ask`.
   * @throws Error in plain words when the port cannot be used, or it was stopped (`wasStopped`).
   */
  recognise: (path: string, descriptions: readonly MeterDescription[], ask: boolean) => Promise<RecogniseOutcome>
  underWay: () => boolean
  /** Resolves once the port is free again. */
  stop: () => Promise<void>
}

const stopped = 'Recognising was stopped.'
export const wasStopped = (error: unknown): boolean => error instanceof Error && error.message === stopped

const lookEveryMs = 15
/** s */
const tellEvery = 0.3
/** A port that was closed a moment ago may not be free yet. */
const firstTries = 4
const betweenTriesMs = 150

const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

const same = (one: PortSettings | null, other: PortSettings): boolean => JSON.stringify(one) === JSON.stringify(other)

export const createPortRecogniser = (clock: () => Seconds, progress: (progress: RecogniseProgress | null) => void): PortRecogniser => {
  let present: { stop: boolean; over: Promise<unknown> } | null = null
  /** Ports that were listened to and are silent: they need not be listened to again before they are asked. */
  const silent = new Set<string>()

  const search = async (path: string, begin: () => Search, ordered: { stop: boolean }): Promise<RecogniseOutcome> => {
    let arrived: { chunk: Uint8Array; at: Seconds }[] = []
    let port: BytePort | null = null
    let set: PortSettings | null = null
    let gone: string | null = null
    let shown: Step | null = null
    let opened = 0
    const start = clock()
    let told = start
    const tell = (words: string): void => {
      told = clock()
      progress({ path, words, share: Math.min(1, (told - start) / withinSeconds) })
    }
    const turn = createTurns()

    const close = async (): Promise<void> => {
      const closing = port
      port = null
      closing?.close()
      await closing?.freed
    }
    const open = async (settings: PortSettings): Promise<void> => {
      await close()
      for (let tries = 1; ; tries += 1) {
        try {
          let mine = true
          const opening = await openPort(path, settings, {
            bytes: (chunk) => { if (mine) arrived.push({ chunk, at: clock() }) },
            closed: (why) => { gone = why },
          })
          port = { ...opening, close: () => { mine = false; opening.close() } }
          opened += 1
          return
        } catch (error) {
          if (tries < firstTries && existsSync(path)) await pause(betweenTriesMs)
          // A port may not know one speed or another: nothing is heard at that one then.
          else if (opened > 0 && existsSync(path)) return
          else throw error
        }
      }
    }

    if (ordered.stop) throw new Error(stopped)
    const searching = begin()
    try {
      for (;;) {
        if (ordered.stop) throw new Error(stopped)
        if (gone !== null) throw new Error(`Port ${path} went away while it was listened to (${String(gone)}). Plug it in again, and start anew.`)
        for (const { chunk, at } of arrived.splice(0)) for (const _piece of searching.hear(chunk, at)) await turn()
        const step = searching.step(clock())
        if (step.kind === 'over') return step.outcome
        if (step !== shown) {
          shown = step
          tell(step.words)
          if (!same(set, step.port)) {
            await open(step.port)
            set = step.port
          }
          arrived = []
          searching.began(clock())
          // An answer may arrive before the system says that the question is gone.
          if (step.send !== null) await (port as BytePort | null)?.write(step.send)
        } else {
          if (clock() - told > tellEvery) tell(step.words)
          await pause(lookEveryMs)
        }
      }
    } finally {
      await close()
    }
  }

  const run = async (path: string, descriptions: readonly MeterDescription[], ask: boolean, ordered: { stop: boolean }): Promise<RecogniseOutcome> => {
    try {
      if (!ask || !silent.has(path)) {
        silent.delete(path)
        const heard = await search(path, () => openListening(descriptions, askWords(descriptions), clock()), ordered)
        if (heard.ask === null) return heard
        silent.add(path)
        if (!ask) return heard
      }
      silent.delete(path)
      return await search(path, () => openAsking(descriptions, clock()), ordered)
    } finally {
      progress(null)
    }
  }

  const stop = async (): Promise<void> => {
    if (present === null) return
    present.stop = true
    await present.over
  }

  return {
    stop,
    underWay: () => present !== null,
    recognise: async (path, descriptions, ask) => {
      const before = present
      if (before !== null) before.stop = true
      const ordered = { stop: false, over: Promise.resolve<unknown>(null) }
      const running = (before?.over ?? Promise.resolve(null)).then(() => run(path, descriptions, ask, ordered))
      ordered.over = running.catch(() => null)
      present = ordered
      try {
        return await running
      } finally {
        if (present === ordered) present = null
      }
    },
  }
}
