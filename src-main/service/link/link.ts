/** The link to one meter: bytes in, readings out, with its watchdog for silence and its patience when the cable is pulled. */
import type { LinkView } from '../../../src-core/contract'
import type { MeterDescription, PortSettings } from '../../../src-core/meter/description'
import type { MeterFunction, Reading } from '../../../src-core/meter/reading'
import type { ScpiSession, WantedSetting } from '../../../src-core/meter/scpi/session-state'
import type { Seconds } from '../../../src-core/quantity/units'
import { openConversation, type Conversation } from './conversation'
import { takeLeave } from './farewell'
import { createFrameWatch } from './frame-watch'
import { openPort, type BytePort } from './open-port'
import { anotherInstrumentWords, anotherKindWords, backButSilentWords, goneWords, noAnswerWords, refusedWords, senselessWords, silentWords } from './port-words'
import { cableAt } from './ports'
import { createSameCable, deviceAt } from './same-cable'
import { createTroubles } from './troubles'

/** A simulated meter: takes where its bytes go, gives how to stop it. */
export type ByteSource = (feed: (bytes: Uint8Array) => void) => { stop: () => void }

export type LinkListener = {
  reading: (reading: Reading) => void
  /** Status, message or meter changed. */
  changed: () => void
  lost: () => void
  /** The first reading after a loss. */
  back: () => void
  /** The first after a silence of a meter that cannot say who it is: another may hang on the cable now. */
  away?: () => void
  /** The instrument's own reply to who it is; again after each time-out and each reconnection, before the first reading. */
  identified?: (reply: string) => void
  /** The meter refuses to be set to this function: it is for the technician to turn. */
  cannotSet?: (which: MeterFunction) => void
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
  /** What a meter that the app can set is to be set to; null: nothing is measured. Others do not heed it. */
  want: (wanted: WantedSetting | null) => void
  /** A meter that was left is being put back as it was found; `released` resolves once all are, and their ports closed. */
  isLeaving: () => boolean
  released: () => Promise<void>
  /** Call about ten times a second. */
  tick: () => void
}

const overtaken = 'Another connection was asked for meanwhile.'

/** True for a connect that something asked later made void: the link is in that later state, not failed. */
export const wasOvertaken = (error: unknown): boolean => error instanceof Error && error.message === overtaken

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))

const retryAfter = 0.5

type Target = { path: string; description: MeterDescription; settings: PortSettings; meter: string }

const closedView: LinkView = { status: 'closed', path: null, description: null, meter: null, message: null, identification: null, readings: 0, rejects: 0 }

export const createLink = (listener: LinkListener, clock: () => Seconds, cableOf: (path: string) => Promise<string | null> = cableAt): Link => {
  const cable = createSameCable(cableOf)
  let view: LinkView = closedView
  /** What the link itself says of its state; beside it stand the meter's own troubles. */
  let message: string | null = null
  const troubles = createTroubles(clock)
  let target: Target | null = null
  let port: BytePort | null = null
  let source: { stop: () => void } | null = null
  let talk: Conversation | null = null
  let memory: ScpiSession | null = null
  let wanted: WantedSetting | null = null
  let identity: string | null = null
  const watch = createFrameWatch(clock)
  /** The last frame or line since the last reading that was refused. */
  let refused: string | null = null
  let nextTry = 0
  /** The turn whose reopening is under way. */
  let tryingIn: number | null = null
  let awaitsBack = false
  /** Counts what was asked for: what an earlier one still says is not heard. */
  let turn = 0
  /** Our own hold on each path: a port opens for one at a time, us included. */
  const held = new Map<string, Promise<void>>()
  const leaving = new Set<Promise<void>>()

  const change = (next: Partial<LinkView>): void => {
    if (next.message !== undefined) ({ message } = next)
    view = { ...view, ...next, message: troubles.beside(message) }
    listener.changed()
  }
  const begin = (next: Partial<LinkView>): void => {
    troubles.forget()
    message = null
    view = { ...closedView, ...next }
    listener.changed()
  }
  const say = (words: string): void => { if (message !== words) change({ message: words }) }

  const onReading = (reading: Reading): void => {
    if (view.readings > 0 && !awaitsBack && source === null && view.identification === null && watch.away(reading.at)) listener.away?.()
    watch.reading(reading)
    refused = null
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

  /** The meter is not there, or not the one it was: the run waits. */
  const lose = (words: string): void => {
    if (awaitsBack) return say(words)
    awaitsBack = true
    change({ status: 'lost', message: words })
    listener.lost()
  }

  /** Bytes come that are none of this meter's: from the first on, or since they changed. */
  const onSenseless = (to: Target): void => {
    if (view.readings > 0 || awaitsBack) lose(anotherKindWords(to.description.name))
    else if (message !== senselessWords(to.settings)) change({ status: 'silent', message: senselessWords(to.settings) })
  }

  /** A meter that is asked does not answer. */
  const onNoAnswer = (to: Target, text: string | null): void => {
    if (text === null && watch.heard() && view.readings === 0 && view.identification === null) return onSenseless(to)
    if (awaitsBack) return say(backButSilentWords)
    change({ status: 'silent', message: text ?? noAnswerWords(view.readings > 0) })
  }

  const startTalking = (description: MeterDescription, to: Target | null, send: (bytes: Uint8Array) => void): Conversation => {
    const mine = turn
    const ours = <T extends unknown[]>(hear: (...said: T) => void) => (...said: T): void => { if (mine === turn) hear(...said) }
    refused = null
    watch.restart('poll' in description.framing ? description.framing.poll?.everySeconds : 0)
    talk = openConversation(description, {
      reading: ours(onReading),
      reject: ours((why: string, _at?: Seconds, line?: string) => {
        view.rejects += 1
        refused = refusedWords(line ?? null, why)
      }),
      silent: ours((text: string | null) => { if (to !== null) onNoAnswer(to, text) }),
      identified: ours((reply: string) => {
        if (view.identification !== reply) change({ identification: reply })
        listener.identified?.(reply)
      }),
      another: ours((was: string, is: string) => { lose(anotherInstrumentWords(was, is)) }),
      cannotSet: ours((which: MeterFunction) => { listener.cannotSet?.(which) }),
      // What a meter says while it is put back is still heard.
      trouble: (text) => {
        if (mine === turn || view.status === 'closed') change(troubles.add(text))
      },
    }, send, clock, memory)
    talk.want(wanted)
    return talk
  }

  /** @param gone the port is no longer there to say anything over */
  const letGo = (gone = false): void => {
    turn += 1
    if (talk !== null) {
      const farewell = takeLeave(talk, port, gone)
      if (farewell !== null) {
        leaving.add(farewell)
        void farewell.finally(() => { leaving.delete(farewell) })
      }
    }
    source?.stop()
    port = null
    source = null
    talk = null
  }

  const onClosed = (why: string): void => {
    memory = talk?.memory() ?? null
    letGo(true)
    nextTry = clock() + retryAfter
    lose(goneWords(why))
  }

  /** False when something else was asked for meanwhile; then the port is not kept. @throws Error in plain words. */
  const open = async (to: Target): Promise<boolean> => {
    const mine = turn
    await held.get(to.path)
    if (mine !== turn) return false
    /** Begins once the port is open; bytes that come before belong to nothing. */
    let conversation: Conversation | null = null
    const opening = openPort(to.path, to.settings, {
      bytes: (chunk) => {
        const at = clock()
        if (mine === turn) watch.bytes(at)
        conversation?.feed(chunk, at)
      },
      closed: (why) => {
        conversation?.close()
        if (mine === turn) onClosed(why)
      },
    })
    const hold = opening.then(({ freed }) => freed, () => undefined).finally(() => { if (held.get(to.path) === hold) held.delete(to.path) })
    held.set(to.path, hold)
    const opened = await opening
    if (mine !== turn) {
      opened.close()
      return false
    }
    port = opened
    identity = deviceAt(to.path)
    conversation = startTalking(to.description, to, (bytes) => {
      // Only a port that is gone cannot be written to (EIO).
      opened.write(bytes).catch((error: unknown) => { if (mine === turn) onClosed(wordsOf(error)) })
    })
    return true
  }

  const tryAgain = async (to: Target): Promise<void> => {
    const mine = turn
    tryingIn = mine
    try {
      await cable.expect(to)
      if (mine === turn) await open(to)
    } catch (error) {
      if (mine !== turn) return
      nextTry = clock() + retryAfter
      say(wordsOf(error))
    } finally {
      if (tryingIn === mine) tryingIn = null
    }
  }

  /** Another meter, or none: nothing of the one before is waited for or gone on from. */
  const start = (next: Partial<LinkView>): void => {
    letGo()
    awaitsBack = false
    target = null
    memory = null
    begin(next)
  }

  return {
    view: () => ({ ...view }),
    connect: async (path, description, settings, meter) => {
      start({ status: 'opening', path, description: description.name, meter })
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
      cable.meant(to)
      change({ status: 'open', message: null })
    },
    practise: (description, feedFrom, meter) => {
      start({ status: 'practice', description: description.name, meter })
      const mine = turn
      const conversation = startTalking(description, null, () => undefined)
      source = feedFrom((bytes) => { if (mine === turn) conversation.feed(bytes, clock()) })
    },
    disconnect: () => { start({}) },
    want: (next) => {
      wanted = next
      talk?.want(next)
    },
    isLeaving: () => leaving.size > 0,
    released: async () => { await Promise.all(leaving) },
    tick: () => {
      if (troubles.fade()) change({})
      if (target === null) {
        if (view.status === 'practice' && watch.silent()) change({ status: 'silent', message: null })
        return
      }
      if (port === null) {
        if (tryingIn !== turn && clock() >= nextTry) void tryAgain(target)
        return
      }
      // One that has said who it is speaks sense; what it does not answer, it says itself.
      if (view.identification === null && watch.senseless()) return onSenseless(target)
      if (!watch.silent()) return
      // A port can die without a word: then its path is gone, or leads to another device.
      if (identity !== null && deviceAt(target.path) !== identity) return onClosed('it no longer exists')
      if (talk?.asks !== false) return
      if (awaitsBack) return say(backButSilentWords)
      const words = view.readings > 0 && refused !== null ? refused : silentWords(view.readings > 0)
      if (view.status === 'open') change({ status: 'silent', message: words })
      else if (view.status === 'silent' && view.readings > 0) say(words)
    },
  }
}
