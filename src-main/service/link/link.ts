/** The link to one meter: bytes in, readings out, with its watchdog for silence and its patience when the cable is pulled. */
import { statSync } from 'node:fs'
import type { LinkView } from '../../../src-core/contract'
import { lineDecoder } from '../../../src-core/meter/decode-line'
import { linesOf } from '../../../src-core/meter/framing'
import type { MeterDescription, PortSettings } from '../../../src-core/meter/description'
import type { MeterFunction, Reading } from '../../../src-core/meter/reading'
import type { Seconds } from '../../../src-core/quantity/units'
import { frameLines, type LineFramer } from './frame-lines'
import { openPort, type BytePort } from './open-port'

/** A simulated meter: takes where its bytes go, gives how to stop it. */
export type ByteSource = (feed: (bytes: Uint8Array) => void) => { stop: () => void }

export type LinkListener = {
  reading: (reading: Reading) => void
  /** Status, message or meter changed. */
  changed: () => void
  lost: () => void
  /** The first reading after a loss. */
  back: () => void
}

export type Link = {
  view: () => LinkView
  /**
   * What is asked last stands: a connect overtaken by another, by practice or by disconnect changes nothing any more.
   * @throws Error in plain words when the port cannot be opened, or the connect was overtaken (`wasOvertaken`).
   */
  connect: (path: string, description: MeterDescription, settings: PortSettings, meter: string) => Promise<void>
  practise: (description: MeterDescription, source: ByteSource, meter: string) => void
  disconnect: () => void
  /** Call about ten times a second. */
  tick: () => void
}

const overtaken = 'Another connection was asked for meanwhile.'

/** True for a connect that something asked later made void: the link is in that later state, not failed. */
export const wasOvertaken = (error: unknown): boolean => error instanceof Error && error.message === overtaken

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))

const silentAfter = 2
const silentFrames = 3
const retryAfter = 0.5

type Target = { path: string; description: MeterDescription; settings: PortSettings; meter: string }

/** Which device a path leads to; null where the system does not say. */
const identityOf = (path: string): string | null => {
  try {
    const { dev, ino, rdev } = statSync(path)
    return `${dev} ${ino} ${rdev}`
  } catch {
    return null // gone, or a system whose ports are no files
  }
}

export const createLink = (listener: LinkListener, clock: () => Seconds): Link => {
  let view: LinkView = { status: 'closed', path: null, description: null, meter: null, message: null, readings: 0, rejects: 0 }
  let target: Target | null = null
  let port: BytePort | null = null
  let source: { stop: () => void } | null = null
  let framer: LineFramer | null = null
  let identity: string | null = null
  let lastFrame: Seconds = clock()
  let frameTime: Partial<Record<MeterFunction, number>> = {}
  let lastFunction: MeterFunction | null = null
  let nextTry = 0
  /** The turn whose reopening is under way. */
  let tryingIn: number | null = null
  let awaitsBack = false
  /** Counts what was asked for: what an earlier one still says is not heard. */
  let turn = 0
  /** Our own hold on each path: a port opens for one at a time, us included. */
  const held = new Map<string, Promise<void>>()

  const change = (next: Partial<LinkView>): void => {
    view = { ...view, ...next }
    listener.changed()
  }

  const onReading = (reading: Reading): void => {
    const gap = reading.at - lastFrame
    if (lastFunction === reading.function && gap > 0 && gap < 10) {
      frameTime[reading.function] = (frameTime[reading.function] ?? gap) * 0.8 + gap * 0.2
    }
    lastFunction = reading.function
    lastFrame = reading.at
    view.readings += 1
    if (awaitsBack) {
      awaitsBack = false
      change({ status: 'open', message: null })
      listener.back()
    } else if (view.status === 'silent') {
      change({ status: source === null ? 'open' : 'practice', message: null })
    }
    listener.reading(reading)
  }

  const startFraming = (description: MeterDescription): LineFramer => {
    const decode = lineDecoder(description)
    framer?.close()
    framer = frameLines(linesOf(description), {
      line: (line, at) => {
        const decoded = decode(line, at)
        if ('reject' in decoded) view.rejects += 1
        else onReading(decoded)
      },
      reject: () => { view.rejects += 1 },
    })
    lastFrame = clock()
    frameTime = {}
    return framer
  }

  const letGo = (): void => {
    turn += 1
    port?.close()
    source?.stop()
    framer?.close()
    port = null
    source = null
    framer = null
  }

  const say = (message: string): void => {
    if (view.message !== message) change({ message })
  }

  const onClosed = (why: string): void => {
    letGo()
    nextTry = clock() + retryAfter
    const message = `The meter's port is gone (${why}). Plug it in again; the run waits.`
    if (awaitsBack) return say(message)
    awaitsBack = true
    change({ status: 'lost', message })
    listener.lost()
  }

  /** False when something else was asked for meanwhile; then the port is not kept. @throws Error in plain words. */
  const open = async (to: Target): Promise<boolean> => {
    const mine = turn
    await held.get(to.path)
    if (mine !== turn) return false
    const framing = startFraming(to.description)
    const opening = openPort(to.path, to.settings, {
      bytes: (chunk) => { if (mine === turn) framing.feed(chunk, clock()) },
      closed: (why) => { if (mine === turn) onClosed(why) },
    })
    const hold = opening.then(({ freed }) => freed, () => undefined).finally(() => { if (held.get(to.path) === hold) held.delete(to.path) })
    held.set(to.path, hold)
    const opened = await opening
    if (mine !== turn) {
      opened.close()
      return false
    }
    port = opened
    identity = identityOf(to.path)
    lastFrame = clock()
    return true
  }

  const tryAgain = async (to: Target): Promise<void> => {
    const mine = turn
    tryingIn = mine
    try {
      await open(to)
    } catch (error) {
      if (mine !== turn) return
      nextTry = clock() + retryAfter
      say(wordsOf(error))
    } finally {
      if (tryingIn === mine) tryingIn = null
    }
  }

  return {
    view: () => ({ ...view }),
    connect: async (path, description, settings, meter) => {
      letGo()
      awaitsBack = false
      target = null
      view = { status: 'opening', path, description: description.name, meter, message: null, readings: 0, rejects: 0 }
      listener.changed()
      const mine = turn
      const to = { path, description, settings, meter }
      try {
        if (!await open(to)) throw new Error(overtaken)
      } catch (error) {
        if (mine !== turn) throw wasOvertaken(error) ? error : new Error(overtaken, { cause: error })
        change({ status: 'closed', message: wordsOf(error) })
        throw error
      }
      target = to
      change({ status: 'open', message: null })
    },
    practise: (description, start, meter) => {
      letGo()
      target = null
      awaitsBack = false
      view = { status: 'practice', path: null, description: description.name, meter, message: null, readings: 0, rejects: 0 }
      const framing = startFraming(description)
      const mine = turn
      source = start((bytes) => { if (mine === turn) framing.feed(bytes, clock()) })
      listener.changed()
    },
    disconnect: () => {
      letGo()
      target = null
      awaitsBack = false
      view = { status: 'closed', path: null, description: null, meter: null, message: null, readings: 0, rejects: 0 }
      listener.changed()
    },
    tick: () => {
      if (target === null) {
        if (view.status === 'practice' && clock() - lastFrame > silentAfter) change({ status: 'silent', message: null })
        return
      }
      if (port === null) {
        if (tryingIn !== turn && clock() >= nextTry) void tryAgain(target)
        return
      }
      const silence = clock() - lastFrame
      const patience = Math.max(silentAfter, silentFrames * (lastFunction === null ? 0 : frameTime[lastFunction] ?? 0))
      if (silence <= patience) return
      // A port can die without a word: then its path is gone, or leads to another device.
      if (identity !== null && identityOf(target.path) !== identity) return onClosed('it no longer exists')
      if (awaitsBack) return say('The port is open again, but silent. Is the meter on, and its output turned on? The run waits for its first reading.')
      if (view.status === 'open') change({ status: 'silent', message: 'No valid frame arrives. Is the meter on, and its output turned on? Is this its description?' })
    },
  }
}
