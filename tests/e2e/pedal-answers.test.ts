/**
 * A pedal answers too: it skips with a reason, opens and keeps a dictated note, goes back, is held without harm, and is tried without
 * touching the run.
 */
import AxeBuilder from '@axe-core/playwright'
import { describe, expect, it } from 'vitest'
import { plainPress } from '../../src-core/settings/key-press'
import { usualBenchSettings } from '../../src-core/settings/bench-settings'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { scan } from '../bench-tools/keys-sent'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { openPedal } from '../bench-tools/pedal'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { startScriptedHand } from '../bench-tools/scripted-hand'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { standInVoice } from '../bench-tools/stand-in-voice'
import { storedEvents } from '../bench-tools/stored-run'

const later = closeAfterEach()

describe.skipIf(!socatIsHere || !chromiumIsHere)('answers by pedal', () => {
  it('skip, note, back, a held pedal, a scanned code and the test signal', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const voice = await standInVoice(browser.context)
    const page = await browser.page(app.address)
    const [confirm, note, skip, back] = [await openPedal(page, 13), await openPedal(page, 14), await openPedal(page, 15),
      await openPedal(page, 16)]
    await client.ask('save-settings', { ...usualBenchSettings, keys: [
      { action: 'confirm', presses: [plainPress('F13')] }, { action: 'note', presses: [plainPress('F14')] },
      { action: 'skip', presses: [plainPress('F15')] }, { action: 'back', presses: [plainPress('F16')] },
    ] })
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    const { run } = await client.ask('start-run', { board: 'mist-valve', revision: 'A', serialNumber: '' })
    const hand = startScriptedHand({ board: mistValve, faults: [], seed: 3, client, write: pair.write, press: (key) =>
      { void client.ask('press', { key }).catch(() => undefined) } })
    later(() => { hand.stop() })
    const step = (id: string) => client.until('bench', (bench) => bench?.step?.id === id, 60_000)
    await step('look')
    hand.still(true)
    const row = (id: string) => client.last('bench')?.steps.find((each) => each.id === id)
    await page.getByTestId('confirm').waitFor()

    // A note, dictated: the words come as text, not as keys; the pedal that confirms keeps it.
    await note.press()
    const field = page.getByRole('textbox', { name: 'Note' })
    await field.waitFor()
    await page.keyboard.insertText('scorch mark beside R1')
    await confirm.press()
    await expect.poll(() => row('look')?.note).toBe('scorch mark beside R1')
    await expect.poll(() => field.count()).toBe(0)
    await page.waitForTimeout(150)
    await note.press()
    await field.waitFor()
    await back.press()
    await expect.poll(() => field.count()).toBe(0)
    expect(client.last('bench')?.step?.id).toBe('look')

    // Tried on its own screen, the pedal says what it does, and the run stands where it stood.
    await page.keyboard.press('k')
    await page.getByTestId('test-pedal').waitFor()
    for (const colorScheme of ['dark', 'light'] as const) {
      await page.emulateMedia({ colorScheme })
      const { violations } = await new AxeBuilder({ page }).analyze()
      expect(violations.filter(({ impact }) => impact === 'serious' || impact === 'critical').map(({ id, nodes }) =>
        `${id}: ${nodes[0]?.html ?? ''}`)).toEqual([])
    }
    await page.emulateMedia({ colorScheme: 'dark' })
    await page.getByTestId('test-pedal').press('Enter')
    await confirm.press()
    await expect.poll(() => page.getByTestId('test-words').textContent()).toContain('It works: confirm.')
    expect(await voice.said(page)).toContain('pedal works, confirm')
    await expect.poll(() => page.getByTestId('test-held').textContent()).toBe('released')
    await scan(page, 'VD-77')
    await page.keyboard.press('Escape')
    await expect.poll(() => page.getByTestId('test-panel').count()).toBe(0)
    await page.keyboard.press('Escape')
    await page.getByTestId('confirm').waitFor()
    expect(client.last('bench')?.step?.id).toBe('look')

    // Skip asks, skip again goes on to the next reason, confirm takes it.
    await skip.press()
    await page.getByText('Skip, because').waitFor()
    // The second of two quick presses is not an answer.
    await confirm.press()
    await page.waitForTimeout(600)
    expect(client.last('bench')?.step?.id).toBe('look')
    await skip.press()
    await expect.poll(() => page.locator('.chip.offered').textContent()).toContain('part not fitted')
    await confirm.press()
    await step('r1')
    expect(row('look')).toMatchObject({ state: 'skipped', skipReason: 'part not fitted' })
    expect(await voice.said(page)).toEqual(expect.arrayContaining(['note', 'skip, cannot reach it?', 'skip, part not fitted?']))

    // Back by pedal; then the pedal is held down, and sends its key again and again as if pressed anew: one press.
    await back.press()
    await step('look')
    await page.waitForTimeout(700)
    await confirm.hold(40, 30, false)
    await step('r1')
    await confirm.hold(20, 30, true)

    // A code with every command letter in it, as fast as a scanner: nothing happens.
    await scan(page, 'RSNPE')
    await expect.poll(() => page.getByTestId('message').textContent()).toContain('Scanned “RSNPE”')
    expect(client.last('bench')?.step?.id).toBe('r1')
    expect(client.last('bench')?.status).toBe('running')
    expect(browser.violations).toEqual([])

    hand.stop()
    client.close()
    await app.close()
    const kinds = storedEvents(dataFolder, run).flatMap((event) => (event.kind === 'decided' || event.kind === 'noted'
      || event.kind === 'skipped') && event.step === 'look' ? [event.kind] : event.kind === 'undone' ? ['undone'] : [])
    expect(kinds).toEqual(['noted', 'skipped', 'decided', 'undone', 'decided'])
  })
})
