/** One whole practice run over ipc: the built main process and preload, the page's own connection, a stand-in for electron between them. */
import { describe, expect, it } from 'vitest'
import type { BenchView } from '../../src-core/run/view'
import { connect, type Call, type Hello } from '../../src-renderer/connection/connection'
import { desktopBridge, ipcBridge } from '../../src-renderer/connection/ipc-bridge'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { openDesktop } from './open-desktop'
import { bridgeOf } from './stand-in/preload'

const later = closeAfterEach()

describe('a practice run on the desktop', () => {
  it('goes from the first prompt to the verdict, with the display kept on while it runs', async () => {
    const desktop = await openDesktop(later, { prepare: (_world, dataFolder) => { putBoard(dataFolder, mistValve) } })
    const bridge = desktopBridge({ probewrightBridge: bridgeOf(desktop.window().webContents) })
    if (bridge === null) throw new Error('the page would take this for a browser')
    const seen: { bench: BenchView | null; nonsense: string[]; tones: string[] } = { bench: null, nonsense: [], tones: [] }
    let call: Call | null = null
    const greeted = new Promise<Hello>((resolve) => {
      const connection = connect(ipcBridge(bridge), {
        up: resolve, down: (again) => { seen.nonsense.push(`lost, again in ${again} s`) },
        nonsense: (words) => { seen.nonsense.push(words) },
        event: (event) => {
          if (event.event === 'bench') seen.bench = event.payload
          if (event.event === 'tone') seen.tones.push(event.payload.tone)
        },
      })
      call = connection.call
      later(() => { connection.close() })
    })
    expect((await greeted).bench).toBeNull()
    await (call as Call | null)?.('start-practice', { board: mistValve.id, seed: 3, faults: ['R1:open'] })
    await expect.poll(() => seen.bench?.step?.prompt.length).toBeGreaterThan(0)
    expect(desktop.world.awake.size).toBe(1)

    await expect.poll(() => seen.bench?.result?.verdict, { timeout: 150_000, interval: 100 }).toBe('fail')
    expect(seen.bench?.result?.failed.map(({ step }) => step)).toEqual(['r1'])
    expect(seen.bench?.result?.truth).toMatch(/^Hidden in the practice board: R1/)
    expect(seen.nonsense).toEqual([])
    expect(seen.tones).toContain('fail')
    expect(seen.bench?.status).toBe('ended')
    expect(desktop.world.awake.size).toBe(0)
  })

  it('lets the display sleep while the run is paused or put aside, and when the app ends', async () => {
    const desktop = await openDesktop(later)
    const bridge = bridgeOf(desktop.window().webContents)
    const order = async (command: string, input: unknown): Promise<void> => {
      expect(JSON.parse(await bridge.ask(JSON.stringify({ id: 1, command, input })))).not.toHaveProperty('error')
    }
    const awake = (): number => desktop.world.awake.size
    expect(awake()).toBe(0)
    await order('start-practice', { seed: 3 })
    expect(awake()).toBe(1)
    await order('press', { key: 'pause' })
    expect(awake()).toBe(0)
    await order('press', { key: 'resume' })
    expect(awake()).toBe(1)
    await order('close-run', {})
    expect(awake()).toBe(0)
    await order('start-practice', { seed: 4 })
    expect(awake()).toBe(1)
    desktop.quit()
    expect(awake()).toBe(0)
  })

  it('is on the bench before the window opens when npm start asked for it', async () => {
    const desktop = await openDesktop(later, { args: ['--practice=auto', '--seed=3'] })
    expect(desktop.world.awake.size).toBe(1)
    const answer = await bridgeOf(desktop.window().webContents).ask('{"id":1,"command":"hello","input":{}}')
    const { output } = JSON.parse(answer) as { output: Hello }
    expect([output.bench?.practice, output.bench?.status]).toEqual([true, 'running'])
  })

  it('that cannot be played is refused before any window opens', async () => {
    const desktop = await openDesktop(later, { args: ['--from-start', '--practice=auto', '--fault=Z99:open'] })
    expect([desktop.world.windows, desktop.world.exits]).toEqual([[], [1]])
    expect(desktop.reports.join('')).toMatch(/^probewright-desktop \{"kind":"refused","words":".*Z99/)
  })
})
