/** A walk and a watch in a real browser: learned on a good practice board, then a faulty one is held to it by hand, and its watch drops out under the fingers. */
import { cpSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { goOnByKeys, seen } from '../bench-tools/keys-of-hand'
import { looksWhole } from '../bench-tools/look'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { root } from '../bench-tools/running-app'

const later = closeAfterEach()
/** What the page tells its sound: every pitch and loudness it glides to. */
const listen = (): void => {
  const heard: number[] = []
  Object.assign(window, { heard })
  const glide = AudioParam.prototype.setTargetAtTime
  AudioParam.prototype.setTargetAtTime = function heardGlide(target, ...rest) {
    heard.push(target)
    return glide.call(this, target, ...rest)
  }
}

describe.skipIf(!chromiumIsHere)('a walk and a watch', () => {
  it('are learned on a good board, and judge a faulty one; the watch sounds, and tells a dropout', async () => {
    const dataFolder = openDataFolder(later)
    cpSync(join(root, 'fixtures/walked-boards/lamp-dimmer'), join(dataFolder, 'boards/lamp-dimmer'), { recursive: true })
    const { app, browser, client } = await openBench(later, { dataFolder })
    await browser.context.addInitScript(listen)
    const page = await browser.page(app.address)
    await client.ask('start-practice', { board: 'lamp-dimmer', revision: 'A', seed: 1, faults: [] })
    await page.getByTestId('prompt').click()
    await client.until('bench', (bench) => bench?.step?.walk?.learned === 2, 90_000)
    await page.getByTestId('prompt').getByText('stays').waitFor()
    await looksWhole(page, 'learning')
    await client.until('live', (live) => live.watch?.minimum.endsWith('Ω') === true, 90_000)
    await looksWhole(page, 'watching')
    await client.until('bench', (bench) => bench?.result !== null && bench?.result !== undefined, 90_000)
    expect(client.last('bench')?.result).toMatchObject({ verdict: 'pass', because: expect.stringMatching(/Learned here and not judged: Legs to 0 V/) })

    await client.ask('start-practice', { board: 'lamp-dimmer', revision: 'A', seed: 7, faults: ['R2:drifted=1.5'], by: 'hand' })
    await goOnByKeys(page, async () => client.last('bench')?.step?.id === 'walk/R1.2')
    await looksWhole(page, 'checking')
    await goOnByKeys(page, async () => client.last('bench')?.step?.id === 'flex')
    expect(client.last('bench')?.steps.filter(({ id }) => id.startsWith('walk/')).map(({ id, verdict }) => [id, verdict])).toEqual([
      ['walk/F1.2', 'pass'], ['walk/R1.2', 'pass'], ['walk/R2.2', 'fail'], ['walk/J2.1', 'pass'],
    ])
    await goOnByKeys(page, async () => client.last('live')?.watch?.minimum.endsWith('Ω') === true)
    await page.waitForTimeout(600)
    const pitch = Number(await page.getByTestId('watched').getAttribute('data-pitch'))
    expect(pitch).toBeGreaterThan(100)
    await page.keyboard.press('l')
    await client.until('live', (live) => live.watch?.pitch === null)
    await page.waitForTimeout(500)
    await looksWhole(page, 'no-contact')
    await page.keyboard.press('a')
    await goOnByKeys(page, async () => (await seen(page)).over)
    const heard = await page.evaluate(() => (window as unknown as { heard: number[] }).heard)
    // The pitch of the value, and silence while there was no contact.
    expect([heard.includes(pitch), heard.lastIndexOf(0) > heard.indexOf(pitch)]).toEqual([true, true])
    const result = client.last('bench')?.result
    expect(result?.failed.map(({ step }) => step)).toEqual(['walk/R2.2', 'flex'])
    expect(result?.failed[1]?.value).toMatch(/^[\d.]+ m?Ω to [\d.]+ m?Ω, 1 dropout, \d\.\d s, in 4\.\d s$/)
    await looksWhole(page, 'result')
    expect(browser.violations).toEqual([])
  }, 240_000)
})
