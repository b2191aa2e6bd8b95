/** The one dispatcher behind every host: validates each command and its answer, each event, and knows nothing of sockets. */
import { z } from 'zod'
import {
  commands, events, request,
  type Answer, type CommandInput, type CommandName, type CommandOutput, type EventName, type EventPayload, type Published,
} from '../../src-core/contract'

export type Handlers = { [N in CommandName]: (input: CommandInput<N>) => CommandOutput<N> | Promise<CommandOutput<N>> }
export type Publish = <N extends EventName>(event: N, payload: EventPayload<N>) => void
export type Screen = (published: Published) => void

export type Dispatcher = {
  /** Never throws and never rejects: whatever arrives is answered, a fault with a sentence. */
  dispatch: (message: unknown) => Promise<Answer>
  publish: Publish
  /** Adds a screen; returns how to take it away. */
  subscribe: (screen: Screen) => () => void
}

/** A sentence for the person at the bench; thrown by handlers. */
export class Refusal extends Error {}

const isCommand = (name: string): name is CommandName => Object.hasOwn(commands, name)

const faultsOf = (error: z.ZodError): string =>
  error.issues.slice(0, 3).map((issue) => `${issue.path.length > 0 ? issue.path.join('.') : 'input'}: ${issue.message}`).join('; ')

/** @param report told of every fault that is ours and not the screen's. */
export const createDispatcher = (handlers: Handlers, report: (error: unknown) => void): Dispatcher => {
  const screens = new Set<Screen>()

  const carryOut = async <N extends CommandName>(name: N, raw: unknown): Promise<unknown> => {
    const input = commands[name].input.safeParse(raw)
    if (!input.success) throw new Refusal(`The command “${name}” was not understood: ${faultsOf(input.error)}.`)
    const output = await handlers[name](input.data as CommandInput<N>)
    return commands[name].output.parse(output)
  }

  return {
    dispatch: async (message) => {
      const parsed = request.safeParse(message)
      if (!parsed.success) return { id: 0, error: 'The message is not a command: it needs id, command and input.' }
      const { id, command, input } = parsed.data
      if (!isCommand(command)) return { id, error: `There is no command “${command}”.` }
      try {
        return { id, output: await carryOut(command, input) }
      } catch (error) {
        if (error instanceof Refusal) return { id, error: error.message }
        report(error)
        return { id, error: `“${command}” failed inside the app: ${error instanceof Error ? error.message : String(error)}` }
      }
    },
    publish: (event, payload) => {
      const checked = events[event].safeParse(payload)
      if (!checked.success) {
        report(new Error(`event ${event}: ${faultsOf(checked.error)}`))
        return
      }
      const published: Published = { event, payload: checked.data }
      for (const screen of screens) screen(published)
    },
    subscribe: (screen) => {
      screens.add(screen)
      return () => { screens.delete(screen) }
    },
  }
}
