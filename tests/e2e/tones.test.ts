/** The tones as a real browser renders them: each step of loudness is louder than the one before, and none clips. */
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { build, type Rollup } from 'vite'
import { loudness, type Loudness } from '../../src-core/settings/bench-settings'
import { ceiling } from '../../src-renderer/sound/loudness'
import { toneShapes } from '../../src-renderer/sound/tone-shapes'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { chromiumIsHere, openBrowser } from '../bench-tools/real-browser'
import { root } from '../bench-tools/running-app'
import type { Rendered } from '../bench-tools/tones-in-page'

const later = closeAfterEach()

const bundled = async (): Promise<string> => {
  const built = await build({
    configFile: false, logLevel: 'error',
    build: { write: false, lib: { entry: join(root, 'tests/bench-tools/tones-in-page.ts'), formats: ['iife'], name: 'benchTones' } },
  }) as Rollup.RollupOutput[]
  return built[0]?.output[0]?.code ?? ''
}

describe.skipIf(!chromiumIsHere)('the tones in Chromium', () => {
  it('grow louder step by step, stay below full scale even two at once, and keep their pitch', async () => {
    const browser = await openBrowser()
    later(() => browser.close())
    const page = await browser.context.newPage()
    await page.addScriptTag({ content: await bundled() })
    const rendered = (step: Loudness, twice: boolean): Promise<Rendered[]> => page.evaluate(
      ([step, twice]) => (window as unknown as { benchTones: { renderAll: (step: Loudness, twice: boolean) =>
        Promise<Rendered[]> } }).benchTones.renderAll(step, twice), [step, twice] as const)
    const steps = await Promise.all(loudness.options.map((step) => rendered(step, false)))
    const atOnce = await Promise.all(loudness.options.map((step) => rendered(step, true)))

    for (const one of [...steps, ...atOnce].flat()) {
      expect(one.peak, `${one.tone} ${one.loudness}`).toBeLessThan(1)
      expect(one.peak, `${one.tone} ${one.loudness}`).toBeLessThanOrEqual(ceiling + 1e-3)
      expect(one.rms).toBeGreaterThan(0.005)
    }
    for (const [index, step] of steps.entries()) {
      for (const one of step) {
        const softer = steps[index - 1]?.find(({ tone }) => tone === one.tone)
        // 3 dB is a change that is plainly heard (common practice, no source).
        if (softer !== undefined) expect(20 * Math.log10(one.rms / softer.rms),
          `${one.tone}, ${softer.loudness} to ${one.loudness}`).toBeGreaterThan(3)
        const [first] = toneShapes[one.tone]
        if (first !== undefined && first.from === first.to) expect(Math.abs(one.pitch - first.from) / first.from,
          `${one.tone} ${one.loudness}`).toBeLessThan(0.12)
      }
    }
  })

  it('the tone that follows a value sounds at the pitch it is given, glides to the next, and is silent when told', async () => {
    const browser = await openBrowser()
    later(() => browser.close())
    const page = await browser.context.newPage()
    await page.addScriptTag({ content: await bundled() })
    const heard = await page.evaluate(() => (window as unknown as { benchTones: { renderFollowed: (pitches: (number | null)[]) => Promise<{ pitch: number; rms: number }[]> } })
      .benchTones.renderFollowed([330, 660, null, 440]))
    expect(heard.map(({ pitch, rms }) => (rms < 1e-3 ? 0 : Math.round(pitch / 10) * 10))).toEqual([330, 660, 0, 440])
  })
})
