/** Commands to the service and events from it, over any bridge; every message that comes in is validated. */
import { z } from 'zod'
import {
  commands,
  events,
  type CommandInput,
  type CommandName,
  type CommandOutput,
  type EventName,
  type EventPayload,
} from '../../src-core/contract'

/** What carries messages: a socket in the browser, the preload bridge on the desktop. Messages are plain JSON values. */
export type Bridge = {
  open: (listener: { opened: () => void; received: (message: unknown) => void; closed: () => void }) => Line
}
export type Line = { send: (message: unknown) => void; close: () => void }

export type ServiceEvent = { [N in EventName]: { event: N; payload: EventPayload<N> } }[EventName]
export type Hello = CommandOutput<'hello'>

export type ConnectionListener = {
  up: (hello: Hello) => void
  /** `again` is the wait in seconds before the next try. */
  down: (again: number) => void
  event: (event: ServiceEvent) => void
  /** A message that does not fit the contract; a sentence for the person at the bench. */
  nonsense: (words: string) => void
}

export type Call = <N extends CommandName>(command: N, input: CommandInput<N>) => Promise<CommandOutput<N>>
export type Connection = { call: Call; close: () => void }

const incoming = z.union([
  z.strictObject({ id: z.number().int().nonnegative(), output: z.unknown() }),
  z.strictObject({ id: z.number().int().nonnegative(), error: z.string() }),
  z.strictObject({ event: z.string(), payload: z.unknown() }),
])

const firstWait = 0.25
const longestWait = 4
const answerWithin = 20
/** What takes longer tells how far it is meanwhile. */
const patience: Partial<Record<CommandName, number>> = { 'export-run': 600, 'export-records': 600 }

/** Seconds to wait before try number `tries` (0 is the first after a loss). */
export const waitBefore = (tries: number): number => Math.min(longestWait, firstWait * 2 ** tries)

const faultOf = (error: z.ZodError): string => {
  const issue = error.issues[0]
  return issue === undefined ? 'unknown fault' : `${issue.path.join('.') || 'message'}: ${issue.message}`
}

const readEvent = (event: string, payload: unknown): { read: ServiceEvent } | { fault: string } => {
  if (!Object.hasOwn(events, event)) return { fault: `“${event}” is no event this screen knows` }
  const name = event as EventName
  const checked = events[name].safeParse(payload)
  return checked.success
    ? { read: { event: name, payload: checked.data } as ServiceEvent }
    : { fault: `event ${name}, ${faultOf(checked.error)}` }
}

type Pending = {
  command: CommandName
  resolve: (output: unknown) => void
  reject: (error: Error) => void
  timer: ReturnType<typeof setTimeout>
}

/** Opens the line, says hello, and opens it again with growing waits whenever it is lost, until closed. */
export const connect = (bridge: Bridge, listener: ConnectionListener): Connection => {
  const pending = new Map<number, Pending>()
  let line: Line | null = null
  let up = false
  let closed = false
  let nextId = 1
  let tries = 0
  let retry: ReturnType<typeof setTimeout> | null = null

  const settle = (id: number): Pending | null => {
    const found = pending.get(id)
    if (found === undefined) return null
    pending.delete(id)
    clearTimeout(found.timer)
    return found
  }

  const call: Call = (command, input) =>
    new Promise((resolve, reject) => {
      if (line === null || !up) {
        reject(new Error('Probewright cannot be reached at the moment. Nothing was sent.'))
        return
      }
      const id = nextId++
      const within = patience[command] ?? answerWithin
      const timer = setTimeout(() => {
        settle(id)?.reject(new Error(`Probewright did not answer “${command}” within ${within} s. It may still be busy with it.`))
      }, within * 1000)
      pending.set(id, { command, resolve: resolve as (output: unknown) => void, reject, timer })
      line.send({ id, command, input })
    })

  const receive = (message: unknown): void => {
    const envelope = incoming.safeParse(message)
    if (!envelope.success) {
      listener.nonsense('A message to this page made no sense and was left out.')
      return
    }
    if ('event' in envelope.data) {
      const result = readEvent(envelope.data.event, envelope.data.payload)
      if ('fault' in result) listener.nonsense(`A message to this page was left out (${result.fault}).`)
      else listener.event(result.read)
      return
    }
    const asked = settle(envelope.data.id)
    if (asked === null) return
    if ('error' in envelope.data) {
      asked.reject(new Error(envelope.data.error))
      return
    }
    const checked = commands[asked.command].output.safeParse(envelope.data.output)
    if (checked.success) asked.resolve(checked.data)
    else asked.reject(new Error(`The answer to “${asked.command}” made no sense (${faultOf(checked.error)}).`))
  }

  const lost = (): void => {
    if (closed) return
    up = false
    line = null
    for (const id of [...pending.keys()]) {
      settle(id)?.reject(
        new Error('The link to Probewright was lost before it answered. What the record says counts.'),
      )
    }
    const wait = waitBefore(tries)
    tries += 1
    listener.down(wait)
    retry = setTimeout(open, wait * 1000)
  }

  const open = (): void => {
    retry = null
    let over = false
    const own: Line = bridge.open({
      opened: () => {
        up = true
        call('hello', {}).then(
          (hello) => {
            tries = 0
            listener.up(hello)
          },
          (error: Error) => {
            listener.nonsense(error.message)
            own.close()
          },
        )
      },
      received: (message) => {
        if (!over) receive(message)
      },
      closed: () => {
        if (over) return
        over = true
        lost()
      },
    })
    line = own
  }

  open()
  return {
    call,
    close: () => {
      closed = true
      if (retry !== null) clearTimeout(retry)
      for (const id of [...pending.keys()]) settle(id)?.reject(new Error('The page was closed.'))
      line?.close()
    },
  }
}
