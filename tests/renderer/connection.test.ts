/** The line to the service: validated both ways, opened again when lost, and no command left hanging. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { connect, waitBefore, type Bridge, type Connection, type ServiceEvent } from '../../src-renderer/connection/connection'
import { initialState } from '../../src-renderer/app/state'
import { usualBenchSettings } from '../../src-core/settings/bench-settings'
import { usualBenchKit } from '../../src-core/meter/instrument'

type End = Parameters<Bridge['open']>[0]
const hello = {
  version: '0',
  settings: usualBenchSettings,
  teaching: null, diagnosis: null,
  bench: null,
  live: initialState.live,
  link: initialState.link,
  identity: null,
  runs: { goOn: null, latest: [] },
  library: { boards: [], descriptions: [], meters: [], kit: usualBenchKit, rule: { kind: 'simple-acceptance', r: 0 }, problems: [] },
}

/** A bridge whose far end is this test. */
const farEnd = () => {
  const ends: End[] = []
  const sent: { id: number; command: string; input: unknown }[] = []
  const bridge: Bridge = {
    open: (listener) => {
      ends.push(listener)
      return {
        send: (message) => {
          sent.push(message as (typeof sent)[number])
        },
        close: () => listener.closed(),
      }
    },
  }
  const last = (): End => {
    const end = ends.at(-1)
    if (end === undefined) throw new Error('the line was never opened')
    return end
  }
  return { bridge, ends, sent, last }
}

const heard = () => ({ ups: 0, downs: [] as number[], events: [] as ServiceEvent[], nonsense: [] as string[] })

const open = () => {
  const far = farEnd()
  const log = heard()
  const connection: Connection = connect(far.bridge, {
    up: () => {
      log.ups += 1
    },
    down: (again) => log.downs.push(again),
    event: (event) => log.events.push(event),
    nonsense: (words) => log.nonsense.push(words),
  })
  return { far, log, connection }
}

const greet = async (far: ReturnType<typeof farEnd>): Promise<void> => {
  far.last().opened()
  far.last().received({ id: far.sent.at(-1)?.id, output: hello })
  await vi.advanceTimersByTimeAsync(0)
}

beforeEach(() => {
  vi.useFakeTimers()
})
afterEach(() => {
  vi.useRealTimers()
})

describe('the connection', () => {
  it('says hello first, and again after every loss, with growing waits', async () => {
    const { far, log } = open()
    await greet(far)
    expect(far.sent[0]?.command).toBe('hello')
    expect(log.ups).toBe(1)
    far.last().closed()
    expect(log.downs).toEqual([waitBefore(0)])
    await vi.advanceTimersByTimeAsync(waitBefore(0) * 1000)
    expect(far.ends).toHaveLength(2)
    far.last().closed()
    expect(log.downs).toEqual([waitBefore(0), waitBefore(1)])
    await vi.advanceTimersByTimeAsync(waitBefore(1) * 1000)
    await greet(far)
    expect(log.ups).toBe(2)
    far.last().closed()
    expect(log.downs.at(-1)).toBe(waitBefore(0))
  })

  it('waits at most 4 s, however long the service is away', () => {
    expect(Math.max(...Array.from({ length: 50 }, (_, tries) => waitBefore(tries)))).toBe(4)
  })

  it('leaves out an event that does not fit the contract, says which field, and goes on', async () => {
    const { far, log } = open()
    await greet(far)
    far.last().received({ event: 'live', payload: { ...initialState.live, tone: 'purple' } })
    far.last().received({ event: 'weather', payload: {} })
    far.last().received(null)
    far.last().received({ event: 'tone', payload: { tone: 'pass' } })
    expect(log.nonsense).toHaveLength(3)
    expect(log.nonsense[0]).toContain('tone')
    expect(log.nonsense[1]).toContain('weather')
    expect(log.events).toEqual([{ event: 'tone', payload: { tone: 'pass' } }])
  })

  it('gives a refused command its sentence', async () => {
    const { far, connection } = open()
    await greet(far)
    const asked = connection.call('press', { key: 'confirm' })
    far.last().received({ id: far.sent.at(-1)?.id, error: 'Lift the leads first.' })
    await expect(asked).rejects.toThrow('Lift the leads first.')
  })

  it('refuses an answer that does not fit the contract', async () => {
    const { far, connection } = open()
    await greet(far)
    const asked = connection.call('start-run', { board: 'mist-valve-node', revision: 'A', serialNumber: '' })
    far.last().received({ id: far.sent.at(-1)?.id, output: { run: 7 } })
    await expect(asked).rejects.toThrow('made no sense')
  })

  it('leaves no command hanging: neither on a loss, nor on silence, nor before the line is up', async () => {
    const { far, connection } = open()
    await expect(connection.call('list-ports', {})).rejects.toThrow('cannot be reached')
    await greet(far)
    const silent = expect(connection.call('list-ports', {})).rejects.toThrow('did not answer')
    await vi.advanceTimersByTimeAsync(20_000)
    await silent
    const lost = expect(connection.call('list-ports', {})).rejects.toThrow('was lost')
    far.last().closed()
    await lost
  })

  it('stays closed once closed', async () => {
    const { far, log, connection } = open()
    await greet(far)
    connection.close()
    await vi.advanceTimersByTimeAsync(60_000)
    expect(far.ends).toHaveLength(1)
    expect(log.downs).toEqual([])
  })
})
