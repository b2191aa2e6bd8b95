/** The built main process and preload against a stand-in for electron: what the one channel answers. */
import { describe, expect, it, vi } from 'vitest'
import { contractChannel } from '../../src-core/desktop-bridge'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openDesktop, type Desktop } from './open-desktop'
import { bridgeOf } from './stand-in/preload'

const later = closeAfterEach()
const hello = '{"id":7,"command":"hello","input":{}}'

type Frame = { url: string; parent: Frame | null }
type Answered = { id: number; output?: unknown; error?: string }

const answerTo = async ({ window }: Desktop, message: unknown, ...from: (Frame | null)[]): Promise<Answered> => {
  const answer = await window().webContents.invoke(contractChannel, message, ...from)
  expect(typeof answer).toBe('string')
  return JSON.parse(String(answer)) as Answered
}

describe('the desktop’s ipc', () => {
  it('has one channel, and answers the contract on it', async () => {
    const desktop = await openDesktop(later)
    expect([...desktop.world.handlers.keys()]).toEqual([contractChannel])
    expect(await answerTo(desktop, hello)).toMatchObject({ id: 7, output: { bench: null } })
  })

  it('answers only the app’s own page: no other address, no frame within it, none that is gone', async () => {
    const desktop = await openDesktop(later)
    const page = { url: 'probewright://app/', parent: null }
    for (const frame of [
      { url: 'https://example.org/', parent: null }, { url: 'file:///index.html', parent: null },
      { url: 'probewright://app.example/', parent: null },
      { url: '', parent: null }, { url: 'about:blank', parent: null }, { url: 'probewright://app/', parent: page }, null,
    ]) expect(await answerTo(desktop, hello, frame), frame?.url).toEqual({ id: 0, error: 'Only the page of this app may ask.' })
    const stranger = { url: 'https://example.org/', parent: null }
    expect(await answerTo(desktop, '{"id":8,"command":"start-practice","input":{}}', stranger)).toHaveProperty('error')
    // Nothing was started by it.
    expect(await answerTo(desktop, hello, page)).toMatchObject({ id: 7, output: { bench: null } })
  })

  it('answers an oversized or malformed message with a sentence, and stays up', async () => {
    const complain = vi.spyOn(process.stderr, 'write').mockReturnValue(true)
    later(() => { complain.mockRestore() })
    const desktop = await openDesktop(later)
    const circle: { self?: unknown } = {}
    circle.self = circle
    for (const message of [
      '', '{', 'null', '[]', '"hello"', '{"id":1}', '{"id":-1,"command":"hello","input":{}}', '{"id":1,"command":"constructor","input":{}}',
      '{"id":1,"command":"press","input":{"key":"launch"}}', '{"id":1,"command":"hello","input":{},"more":1}', '\0', '\ud800',
      null, undefined, 7, 7n, true, circle, new Map([['id', 1]]), new Uint8Array(1000), new Date(0), JSON.parse(hello),
    ]) expect(await answerTo(desktop, message), String(message)).toMatchObject({ error: expect.stringMatching(/\w+ \w+/) })
    const padded = `${hello.slice(0, -1)},"pad":"${'x'.repeat(256 * 1024)}"}`
    expect((await answerTo(desktop, padded)).error).toBe('The message is larger than the 256 kB allowed. Nothing of it was read.')
    // In bytes, not in characters: 100,000 ohm signs are 300,000 bytes.
    expect((await answerTo(desktop, `"${'Ω'.repeat(200_000)}"`)).error).toMatch(/larger than/)
    expect(await answerTo(desktop, hello)).toMatchObject({ id: 7, output: { bench: null } })
    expect([desktop.world.exits, complain.mock.calls]).toEqual([[], []])
  })

  it('tells the page every event, and one that crashed nothing until it is back', async () => {
    const desktop = await openDesktop(later)
    const { webContents } = desktop.window()
    const heard: string[] = []
    const bridge = bridgeOf(webContents)
    const stop = bridge.listen((text) => { heard.push((JSON.parse(text) as { event: string }).event) })
    await bridge.ask('{"id":1,"command":"start-practice","input":{"seed":3,"faults":["R4:open"]}}')
    await expect.poll(() => heard).toEqual(expect.arrayContaining(['bench', 'live', 'runs']))
    webContents.crashed = true
    heard.length = 0
    await new Promise((resolve) => { setTimeout(resolve, 400) })
    expect(heard).toEqual([])
    webContents.crashed = false
    await expect.poll(() => heard).toContain('live')
    stop()
    heard.length = 0
    await new Promise((resolve) => { setTimeout(resolve, 300) })
    expect(heard).toEqual([])
  })

  it('records on when a page cannot be told, and says so', async () => {
    const complain = vi.spyOn(process.stderr, 'write').mockReturnValue(true)
    later(() => { complain.mockRestore() })
    const desktop = await openDesktop(later)
    desktop.window().webContents.send = () => { throw new Error('the frame is gone') }
    expect(await answerTo(desktop, '{"id":1,"command":"start-practice","input":{"seed":3}}')).toHaveProperty('output.run')
    expect(await answerTo(desktop, '{"id":2,"command":"press","input":{"key":"pause"}}')).toEqual({ id: 2, output: {} })
    expect(await answerTo(desktop, hello)).toMatchObject({ output: { bench: { status: 'paused' } } })
    expect(String(complain.mock.calls[0]?.[0])).toMatch(/the frame is gone/)
  })
})
