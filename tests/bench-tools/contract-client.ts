/** A screen without pixels: speaks the contract over the browser host's WebSocket. */
import { WebSocket } from 'ws'
import type { CommandInput, CommandName, CommandOutput, EventName, EventPayload } from '../../src-core/contract'

export type ContractClient = {
  ask: <N extends CommandName>(command: N, input: CommandInput<N>) => Promise<CommandOutput<N>>
  /** The newest payload of an event, if one came. */
  last: <N extends EventName>(event: N) => EventPayload<N> | undefined
  /** Every payload of an event since the start. */
  all: <N extends EventName>(event: N) => EventPayload<N>[]
  /** Resolves with the newest payload if it fits, or else with the first to come that does: not for what passes by itself while nobody looks. */
  until: <N extends EventName>(event: N, fits: (payload: EventPayload<N>) => boolean, withinMs?: number) => Promise<EventPayload<N>>
  on: <N extends EventName>(event: N, heard: (payload: EventPayload<N>) => void) => () => void
  close: () => void
}

export const openClient = async (address: string): Promise<ContractClient> => {
  const { host, hash } = new URL(address)
  const socket = new WebSocket(`ws://${host}/contract?token=${hash.slice(1)}`, { origin: `http://${host}`, maxPayload: 64 * 1024 * 1024 })
  await new Promise<void>((resolve, reject) => { socket.once('open', () => { resolve() }); socket.once('error', reject) })
  const heard = new Map<string, unknown[]>()
  const listeners = new Map<string, Set<(payload: never) => void>>()
  const waiting = new Map<number, { resolve: (output: never) => void; reject: (error: Error) => void }>()
  let next = 1
  socket.on('message', (data: Buffer) => {
    const message = JSON.parse(data.toString()) as { event?: string; payload?: unknown; id?: number; output?: unknown; error?: string }
    if (message.event !== undefined) {
      heard.set(message.event, [...(heard.get(message.event) ?? []).slice(-2000), message.payload])
      for (const listener of listeners.get(message.event) ?? []) listener(message.payload as never)
      return
    }
    const asked = waiting.get(message.id ?? 0)
    waiting.delete(message.id ?? 0)
    if (message.error !== undefined) asked?.reject(new Error(message.error))
    else asked?.resolve(message.output as never)
  })
  const client: ContractClient = {
    ask: (command, input) => new Promise((resolve, reject) => {
      const id = next++
      waiting.set(id, { resolve, reject })
      socket.send(JSON.stringify({ id, command, input }))
    }),
    last: (event) => heard.get(event)?.at(-1) as never,
    all: (event) => (heard.get(event) ?? []) as never,
    on: (event, listener) => {
      const own = listeners.get(event) ?? new Set()
      own.add(listener as (payload: never) => void)
      listeners.set(event, own)
      return () => { own.delete(listener as (payload: never) => void) }
    },
    until: (event, fits, withinMs = 60_000) => new Promise((resolve, reject) => {
      const newest = client.last(event)
      if (newest !== undefined && fits(newest)) { resolve(newest); return }
      const late = setTimeout(() => { off(); reject(new Error(`“${event}” did not come as awaited within ${withinMs} ms; last: ${JSON.stringify(client.last(event))?.slice(0, 600)}`)) }, withinMs)
      const off = client.on(event, (payload) => {
        if (!fits(payload)) return
        clearTimeout(late)
        off()
        resolve(payload)
      })
    }),
    close: () => { socket.close() },
  }
  return client
}
