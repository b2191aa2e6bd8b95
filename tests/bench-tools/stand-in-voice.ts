/** A stand-in for the browser's speech synthesis, which has no voices in this Chromium: notes what it was asked to say, and ends soon. */
import type { BrowserContext, Page } from 'playwright-core'

export type StandInVoice = { said: (page: Page) => Promise<string[]> }

export const standInVoice = async (context: BrowserContext): Promise<StandInVoice> => {
  await context.addInitScript(() => {
    type Said = { text: string; onend: (() => void) | null; onerror: ((event: { error: string }) => void) | null }
    const said: string[] = []
    let now: { said: Said; timer: ReturnType<typeof setTimeout> } | null = null
    const engine = {
      getVoices: () => [{ name: 'Stand-in voice', lang: 'en-GB', localService: true, default: true }],
      addEventListener: () => undefined,
      speak: (one: Said) => {
        said.push(one.text)
        now = { said: one, timer: setTimeout(() => { now = null; one.onend?.() }, 15) }
      },
      cancel: () => {
        if (now === null) return
        clearTimeout(now.timer)
        const { said: cut } = now
        now = null
        cut.onerror?.({ error: 'canceled' })
      },
    }
    Object.defineProperty(window, 'speechSynthesis', { value: engine })
    Object.defineProperty(window, 'SpeechSynthesisUtterance', { value: function (this: Said,
      text: string) { this.text = text; this.onend = null; this.onerror = null } })
    Object.assign(window, { standInSaid: said })
  })
  return { said: (page) => page.evaluate(() => (window as unknown as { standInSaid: string[] }).standInSaid) }
}
