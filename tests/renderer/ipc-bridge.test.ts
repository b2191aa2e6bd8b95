import { describe, expect, it, vi } from 'vitest'
import type { DesktopBridge } from '../../src-core/desktop-bridge'
import { connect } from '../../src-renderer/connection/connection'
import { desktopBridge, ipcBridge } from '../../src-renderer/connection/ipc-bridge'

type Own = { bridge: DesktopBridge; asked: string[]; tell: (text: string) => void; listening: () => number }

/** A bridge whose service is gone, or takes a message and is long about the answer. */
const own = (service: 'gone' | 'busy'): Own => {
  const asked: string[] = []
  const heard = new Set<(text: string) => void>()
  return {
    asked, listening: () => heard.size, tell: (text) => { for (const each of heard) each(text) },
    bridge: {
      ask: (text) => {
        asked.push(text)
        return service === 'gone' ? Promise.reject(new Error('no handler')) : new Promise(() => undefined)
      },
      listen: (each) => { heard.add(each); return () => { heard.delete(each) } },
    },
  }
}

const listener = () => ({ up: vi.fn(), down: vi.fn(), nonsense: vi.fn(), event: vi.fn() })

describe('the desktop’s bridge', () => {
  it('is there on the desktop and not in a browser', () => {
    const { bridge } = own('gone')
    expect(desktopBridge({ probewrightBridge: bridge })).toBe(bridge)
    expect(desktopBridge({})).toBeNull()
  })

  it('says hello once it is open, as text, and hands events on', async () => {
    const { bridge, asked, tell } = own('busy')
    const ears = listener()
    const connection = connect(ipcBridge(bridge), ears)
    await vi.waitFor(() => expect(asked).toEqual(['{"id":1,"command":"hello","input":{}}']))
    tell('{"event":"tone","payload":{"tone":"pass"}}')
    expect(ears.event).toHaveBeenCalledWith({ event: 'tone', payload: { tone: 'pass' } })
    tell('{')
    expect(ears.nonsense).toHaveBeenCalledWith('A message to this page made no sense and was left out.')
    connection.close()
  })

  it('is lost when the service does not take a message, and is opened again after a wait', async () => {
    vi.useFakeTimers()
    try {
      const { bridge, asked, listening } = own('gone')
      const ears = listener()
      const connection = connect(ipcBridge(bridge), ears)
      await vi.advanceTimersByTimeAsync(10)
      expect([ears.down.mock.calls, listening()]).toEqual([[[0.25]], 0])
      await vi.advanceTimersByTimeAsync(250)
      expect(asked).toHaveLength(2)
      connection.close()
      await vi.advanceTimersByTimeAsync(10_000)
      expect([asked.length, listening()]).toEqual([2, 0])
    } finally {
      vi.useRealTimers()
    }
  })
})
