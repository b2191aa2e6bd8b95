/** Listens to a port for teaching, keeps what was taught, and has the worker make each proposal; core decides all of it. */
import { linkSync, mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { CommandInput, EventPayload } from '../../src-core/contract'
import { heardRows } from '../../src-core/meter/teach/heard-rows'
import type { Proposal } from '../../src-core/meter/teach/propose'
import { startTeaching, teach, type TeachInput, type Teaching } from '../../src-core/meter/teach/teach'
import { descriptionText, rowCutOf, viewOfTeaching, type TeachingView } from '../../src-core/meter/teach/teaching-view'
import type { Seconds } from '../../src-core/quantity/units'
import type { Assets } from './assets'
import { Refusal, type Handlers } from './dispatcher'
import { openPort, type BytePort } from './link/open-port'
import type { Thread } from './threads'

type TeachingCommands = 'teach-listen' | 'teach-stop' | 'teach-shown' | 'teach-cannot' | 'teach-forget' | 'save-description' | 'export-description'

export type TeachingKeeper = {
  handlers: Pick<Handlers, TeachingCommands>
  view: () => TeachingView | null
  /** Gives the port back; what was taught is kept. */
  letGo: () => Promise<void>
  /** Call about ten times a second. */
  tick: () => void
  close: () => void
}

type Surroundings = {
  thread: Thread; dataFolder: string; assets: Assets; clock: () => Seconds
  /** Why the port cannot be listened to now; null when it can. */
  hindrance: () => string | null
  /** Names of all descriptions in the library. */
  names: () => string[]
  publish: { teaching: (view: TeachingView | null) => void; heard: (heard: EventPayload<'heard'>) => void }
  report: (error: unknown) => void
}

const fileName = (name: string): string => `${name.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-+|-+$/g, '').slice(0, 60) || 'meter'}.json`

/** Whole or not at all, and never over another file. @throws Refusal when there is one already, Error when it cannot be written. */
const writeNew = (folder: string, name: string, text: string): string => {
  mkdirSync(folder, { recursive: true })
  const file = join(folder, name)
  const half = join(folder, `.${name}.${process.pid}.part`)
  try {
    writeFileSync(half, text, { flush: true })
    linkSync(half, file)
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') throw new Refusal(`There is already a file ${file}. Give the description another name.`)
    throw new Refusal(`The description could not be written to ${file}: ${error instanceof Error ? error.message : String(error)}. Nothing was changed; export it instead, or make room.`, { cause: error })
  } finally {
    rmSync(half, { force: true })
  }
  return file
}

export const createTeaching = ({ thread, dataFolder, assets, clock, hindrance, names, publish, report }: Surroundings): TeachingKeeper => {
  let state: Teaching | null = null
  let path: string | null = null
  let port: BytePort | null = null
  let message: string | null = null
  let saved: string | null = null
  /** The revision the worker is at; only one at a time is made. */
  let making: number | null = null
  let closed = false
  let freed: Promise<void> = Promise.resolve()
  /** Counts openings: bytes of an earlier port are not heard. */
  let turn = 0
  let shownBytes = -1

  const view = (): TeachingView | null => (state === null ? null : viewOfTeaching(state, { path, message, saved }))
  const tell = (): void => { publish.teaching(view()) }

  const proposed = (proposal: Proposal | null, revision: number): void => {
    making = null
    if (closed || state === null || proposal === null) return
    state = teach(state, { kind: 'proposed', proposal, revision }).state
    tell()
    propose()
  }

  const failed = (error: unknown, revision: number): void => {
    making = null
    if (closed) return
    report(error)
    message = 'The last display could not be worked out: the app failed inside. Take it out, or go on with others.'
    if (state !== null) state = { ...state, proposedFor: revision }
    tell()
  }

  /** Making one can take longer than the serial loop has: the worker does it. */
  const propose = (): void => {
    if (closed || state === null || making !== null || state.proposedFor === state.revision) return
    const { examples, setup, cannot, revision } = state
    making = revision
    thread.ask<Proposal>({ work: 'propose', urgency: 'now', of: () => ({ examples, setup, cannot }) })
      .then((proposal) => { proposed(proposal, revision) }, (error: unknown) => { failed(error, revision) })
  }

  const take = (input: TeachInput): Record<string, never> => {
    if (state === null) throw new Refusal('Nothing is being taught. Choose the port of the meter first.')
    const { state: next, refused } = teach(state, input)
    if (next !== state) saved = next.revision === state.revision ? saved : null
    state = next
    tell()
    propose()
    if (refused !== null) throw new Refusal(refused)
    return {}
  }

  const letGo = async (): Promise<void> => {
    turn += 1
    if (port !== null) {
      freed = port.freed
      port.close()
    }
    port = null
    if (state !== null) state = teach(state, { kind: 'silence' }).state
    if (path !== null) {
      path = null
      tell()
    }
    await freed
  }

  const listen = async ({ path: to, setup }: CommandInput<'teach-listen'>): Promise<void> => {
    const why = hindrance()
    if (why !== null) throw new Refusal(why)
    await letGo()
    const mine = turn
    const opened = await openPort(to, setup.port, {
      bytes: (chunk) => { if (mine === turn && state !== null) state = teach(state, { kind: 'bytes', at: clock(), bytes: Uint8Array.from(chunk) }).state },
      closed: (reason) => {
        if (mine !== turn) return
        message = `The meter's port is gone (${reason}). What was taught is kept: plug the cable in and listen again.`
        void letGo()
      },
    }).catch((error: unknown) => { throw new Refusal(error instanceof Error ? error.message : String(error), { cause: error }) })
    if (mine !== turn) {
      opened.close()
      throw new Refusal('Another port was asked for meanwhile.')
    }
    port = opened
    path = to
    message = null
    state = state === null ? startTeaching(setup) : teach(state, { kind: 'setup', setup }).state
    tell()
    propose()
  }

  const text = (name: string): string => {
    const made = state === null ? null : descriptionText(state, name)
    if (made === null) throw new Refusal('There is no description yet. Show and type a few more displays.')
    return made
  }

  return {
    view, letGo,
    handlers: {
      'teach-listen': async (input) => { await listen(input); return {} },
      'teach-stop': async () => { await letGo(); return {} },
      'teach-shown': ({ shown }) => take({ kind: 'shown', at: clock(), shown }),
      'teach-cannot': ({ key }) => take({ kind: 'cannot', key }),
      'teach-forget': ({ example }) => take({ kind: 'forget', example }),
      'save-description': ({ name }) => {
        const made = text(name)
        if (names().includes(name)) throw new Refusal(`There is already a description “${name}”. Give this one another name.`)
        saved = writeNew(join(dataFolder, 'meters'), fileName(name), made)
        tell()
        return { file: saved }
      },
      'export-description': ({ name }) => {
        const offered = assets.offer({ name: fileName(name), type: 'application/json', bytes: Buffer.from(text(name), 'utf8') })
        if (offered === null) throw new Refusal('Exports that nobody has fetched fill what is kept for them. Try again in five minutes.')
        return { path: offered, name: fileName(name) }
      },
    },
    tick: () => {
      if (state === null || path === null || state.bytes === shownBytes) return
      shownBytes = state.bytes
      publish.heard(heardRows(state.heard, rowCutOf(state), state.examples, state.bytes))
    },
    close: () => {
      closed = true
      void letGo()
    },
  }
}
