/** The main job in a real browser: bytes through a pseudo-terminal drive a whole run to its verdict, and the cable is pulled on the way. */
import { describe, expect, it } from 'vitest'
import type { RunEvent } from '../../src-core/run/event'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { look } from '../bench-tools/look'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { startScriptedHand } from '../bench-tools/scripted-hand'
import { capturedIn, storedEvents, type CapturedEvent } from '../bench-tools/stored-run'

/** A line that went into the cable, in hex, and when, ms UTC. */
type Written = { raw: string; at: number }

/** ms UTC from first contact to acceptance. The app's own clock is laid onto UTC by the event that was stored the quickest. */
const touchTimes = (events: readonly RunEvent[]): ((touch: CapturedEvent) => { from: number; to: number }) => {
  const offset = Math.min(...events.map((event) => Date.parse(event.utc) - 1000 * event.at))
  return (touch) => ({ from: offset + 1000 * (touch.at - touch.seconds), to: offset + 1000 * touch.at })
}

/** The raw frames of a touch that were not, in this order, among the lines written within its time. */
const notWritten = (touch: CapturedEvent, written: readonly Written[], { from, to }: { from: number; to: number }): string[] => {
  // A line may lie in the cable before the app reads it.
  const left = written.filter(({ at }) => at >= from - 500 && at <= to + 100).map(({ raw }) => raw)
  return touch.raw.filter((raw) => {
    const place = left.indexOf(raw)
    left.splice(0, place + 1)
    return place < 0
  })
}

const kindsFrom = (events: readonly RunEvent[], first: RunEvent['kind'], count: number): string[] => {
  const start = events.findIndex(({ kind }) => kind === first)
  return events.slice(start, start + count).map(({ kind }) => kind)
}

const later = closeAfterEach()

describe.skipIf(!socatIsHere || !chromiumIsHere)('a whole run over a serial line', () => {
  it('finds the open resistor, with the keyboard alone after the start, and survives the cable being pulled in mid-touch', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const dataFolder = openDataFolder(later)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const { library } = await client.ask('hello', {})
    const board = library.boards.find((each) => each.id === 'vent-driver-node' && each.revision === 'C')?.board
    if (board === undefined) throw new Error('the sample board is missing')
    const page = await browser.page(app.address)
    await page.getByTestId('port-path').fill(pair.appEnd)
    await page.getByTestId('connect').click()
    await client.until('link', (link) => link.status === 'open')
    await page.locator('input[name=board][value=vent-driver-node]').check()
    await page.getByTestId('serial-number').fill('VD-0417')
    await page.getByTestId('start-board').click()
    await page.getByTestId('revision-C').click()
    await page.getByTestId('prompt').waitFor()
    const written: Written[] = []
    let swallowed = 0
    const hand = startScriptedHand({
      board, faults: ['R4:open'], seed: 4, client,
      write: (bytes) => {
        const at = Date.now()
        try {
          pair.write(bytes)
          written.push({ raw: Buffer.from(bytes).toString('hex'), at })
        } catch (error) {
          if (!String(error).includes('unplugged')) throw error
          swallowed += 1
        }
      },
      press: (key) => { void page.keyboard.press(key === 'again' ? 'r' : 'Space').catch(() => undefined) },
    })
    later(() => { hand.stop() })

    // In mid-touch of the first part's step the cable is pulled, and comes back.
    await client.until('bench', (bench) => bench?.step?.kind === 'measure' && !bench.step.id.startsWith('prepare/'), 120_000)
    await expect.poll(() => hand.placed() && client.last('live')?.wants === 'hold', { timeout: 20_000, interval: 10 }).toBe(true)
    const interrupted = client.last('bench')?.step?.id ?? ''
    const valuesBefore = client.last('bench')?.steps.filter((step) => step.value !== '').length
    hand.still(true)
    const unplugged = Date.now()
    await pair.unplug()
    await client.until('link', (link) => link.status === 'lost', 10_000)
    await expect.poll(async () => page.getByTestId('state-line').textContent()).toContain('meter lost')
    expect(client.last('bench')?.steps.filter((step) => step.value !== '').length).toBe(valuesBefore)
    // Long enough for a value to stand steady, had it come through.
    await expect.poll(() => swallowed, { timeout: 20_000, interval: 20 }).toBeGreaterThan(15)
    const pluggedIn = Date.now()
    await pair.plugIn()
    await client.until('bench', (bench) => bench?.keys.some((key) => key.action === 'same-meter') === true, 20_000)
    expect(client.last('bench')?.steps.filter((step) => step.value !== '').length).toBe(valuesBefore)
    hand.still(false)

    const ended = await client.until('bench', (bench) => bench?.result !== null && bench?.result !== undefined, 200_000)
    await page.getByTestId('run-verdict').waitFor()
    expect(ended?.result?.failed.flatMap((failed) => failed.parts)).toContain('R4')
    expect(await page.getByTestId('run-verdict').textContent()).toMatch(/fail|beyond repair/i)
    expect(await page.getByTestId('step-row').count()).toBeGreaterThan(8)
    expect(browser.violations).toEqual([])
    await page.getByTestId('next-board').waitFor()
    // The readings are diagnosed, and the part that was broken is said to be faulty and no other.
    await client.until('diagnosis', (diagnosis) => diagnosis?.parts.some(({ ref, report }) => ref === 'R4' && report === 'faulty') === true, 60_000)
    const told = page.getByTestId('parts-report').locator('li[data-report=faulty]')
    await expect.poll(() => told.allTextContents()).toEqual([expect.stringMatching(/R4 faulty, (over )?\d+ %\. R4 is open\./)])
    expect(await page.getByTestId('part-shades').locator('[data-part=R4] [data-report=faulty]').count()).toBe(1)
    await look(page, 'diagnosed')
    expect(browser.violations).toEqual([])

    // What the file holds: nothing came from the gap.
    hand.stop()
    client.close()
    await app.close()
    const events = storedEvents(dataFolder, ended?.run ?? '')
    const touches = capturedIn(events)
    const timesOf = touchTimes(events)
    expect(touches.filter((touch) => timesOf(touch).to > unplugged && timesOf(touch).from < pluggedIn).map(({ step }) => step)).toEqual([])
    expect(touches.some((touch) => timesOf(touch).to <= unplugged)).toBe(true)
    expect(touches.flatMap((touch) => notWritten(touch, written, timesOf(touch)).map((raw) => `${touch.step}: ${raw}`))).toEqual([])
    expect(kindsFrom(events, 'meter-lost', 3)).toEqual(['meter-lost', 'meter-back', 'proof-lapsed'])
    expect(events.find(({ kind }) => kind === 'meter-back')).toMatchObject({ same: true })

    // The touch that was interrupted was made anew, after the board was proven de-energised once more.
    const lapsed = events.findIndex(({ kind }) => kind === 'proof-lapsed')
    const anew = events.findIndex((event) => event.kind === 'captured' && event.step === interrupted)
    const proven = events.findIndex((event, index) => index > lapsed && event.kind === 'decided' && event.step.startsWith('prepare/store/'))
    expect([lapsed, proven, anew]).toEqual([lapsed, proven, anew].toSorted((a, b) => a - b))
    expect(Math.min(lapsed, proven, anew)).toBeGreaterThan(0)
    expect(touches.filter(({ step }) => step === interrupted).map(({ touch }) => touch)[0]).toBe(1)
  }, 300_000)
})
