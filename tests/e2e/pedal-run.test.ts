/** Two whole runs by a pedal alone, in a real browser over a serial line: no mouse, no other key; and what a voice would have said. */
import { describe, expect, it } from 'vitest'
import type { BenchView } from '../../src-core/run/view'
import { closeAfterEach } from '../bench-tools/close-after-each'
import type { ContractClient } from '../bench-tools/contract-client'
import { watchHands } from '../bench-tools/hands-used'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { openPedal } from '../bench-tools/pedal'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { startScriptedHand } from '../bench-tools/scripted-hand'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { standInVoice } from '../bench-tools/stand-in-voice'

const later = closeAfterEach()

const ended = (client: ContractClient, not: string): Promise<BenchView | null> =>
  client.until('bench', (bench) => bench?.result !== null && bench?.result !== undefined && bench.run !== not, 90_000)

/** What each step of a run first asked to be said as its prompt, in order. */
const promptsOf = (client: ContractClient, run: string): string[] => {
  const seen = new Set<string>()
  return client.all('bench').flatMap((bench) => (bench?.run === run ? bench.spoken : [])).flatMap(({ id, kind, sentences }) => {
    if (kind !== 'prompt' || seen.has(id)) return []
    seen.add(id)
    return sentences
  })
}

/** The words of `wanted` that were not said, each behind the one before. */
const unsaid = (wanted: readonly string[], said: readonly string[]): string[] => {
  let from = 0
  return wanted.filter((words) => {
    const place = said.indexOf(words, from)
    if (place < 0) return true
    from = place + 1
    return false
  })
}

describe.skipIf(!socatIsHere || !chromiumIsHere)('by pedal alone', () => {
  it('makes a whole run, goes on to the next board, and makes that too; every prompt and result is said', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const voice = await standInVoice(browser.context)
    const page = await browser.page(app.address)
    const pedal = await openPedal(page)

    // The pedal is bound as a person binds it: press bind, then the pedal.
    await page.getByRole('button', { name: 'Sound and keys' }).click()
    for (const action of ['confirm', 'next-board']) {
      await page.getByTestId(`bind-${action}`).click()
      await pedal.press()
      await expect.poll(() => page.getByTestId(`bound-${action}`).textContent()).toBe('F13')
    }
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A', name: 'Bench meter' })
    await client.ask('start-run', { board: 'mist-valve', revision: 'A', serialNumber: 'MV-1' })
    await page.getByTestId('prompt').waitFor()
    const used = await watchHands(page)
    await expect.poll(() => page.getByTestId('confirm').textContent()).toContain('F13')

    let pressed = 0
    const handOn = (faults: string[], seed: number) => startScriptedHand({
      board: mistValve, faults, seed, client, write: pair.write,
      press: () => {
        pressed += 1
        void pedal.press()
      },
    })
    const first = handOn(['R1:open'], 7)
    later(() => { first.stop() })
    const one = await ended(client, '')
    first.stop()
    expect(one?.result?.verdict).toBe('fail')
    await expect.poll(() => page.getByTestId('run-verdict').textContent()).toBe('fail')
    const saidFirst = await voice.said(page)

    // A press too many, at once: it was meant for the last step, and starts no board.
    await pedal.press()
    await page.waitForTimeout(1700)
    expect(client.last('bench')?.run).toBe(one?.run)
    await pedal.press()
    await client.until('bench', (bench) => bench !== null && bench.run !== one?.run && bench.status === 'running')
    const second = handOn([], 8)
    later(() => { second.stop() })
    const two = await ended(client, one?.run ?? '')
    second.stop()
    expect(two?.result?.verdict).toBe('pass')
    await expect.poll(() => page.getByTestId('run-verdict').textContent()).toBe('pass')

    // Nothing but the pedal was used.
    expect(pressed).toBeGreaterThan(8)
    expect(new Set(await used())).toEqual(new Set(['F13']))
    expect((await used()).length).toBe(pressed + 2)

    // What was said: every prompt of both runs, what came of each touch, and the verdicts.
    await expect.poll(async () => (await voice.said(page)).at(-1)).toBe('run ended, pass')
    const said = await voice.said(page)
    const steps = promptsOf(client, one?.run ?? '')
    expect(steps).toContain('red on J 1 pin 1, black on R 1 pin 2')
    expect(unsaid(steps, saidFirst)).toEqual([])
    expect(unsaid(promptsOf(client, two?.run ?? ''), said.slice(saidFirst.length))).toEqual([])
    expect(saidFirst).toContain('fail, open')
    expect(saidFirst.at(-1)).toBe('run ended, fail')
    expect(said.slice(saidFirst.length)).toContain('pass')
    expect(browser.violations).toEqual([])
  })
})
