/** A foot pedal, as the browser meets one: a keyboard that sends F13. */
import type { Page } from 'playwright-core'

export type Pedal = {
  press: () => Promise<void>
  /** Holds it down for some repeats, flagged as repeats or, as some pedals do, as new presses. */
  hold: (times: number, everyMs: number, flagged: boolean) => Promise<void>
}

/** Function keys from F13 on have virtual key codes from 124 on. */
export const openPedal = async (page: Page, number = 13): Promise<Pedal> => {
  const session = await page.context().newCDPSession(page)
  const key = { key: `F${number}`, code: `F${number}`, windowsVirtualKeyCode: 111 + number }
  /** @param at when, s since 1970; now, where it is not said. */
  const down = (autoRepeat = false, at?: number): Promise<unknown> => session.send('Input.dispatchKeyEvent', { type: 'rawKeyDown', ...key, autoRepeat, ...(at === undefined ? {} : { timestamp: at }) })
  const up = (at?: number): Promise<unknown> => session.send('Input.dispatchKeyEvent', { type: 'keyUp', ...key, ...(at === undefined ? {} : { timestamp: at }) })
  return {
    press: async () => {
      await down()
      await up()
    },
    hold: async (times, everyMs, flagged) => {
      // Its times are given with each key: a busy machine that brings them late does not make a pedal that was let go of them.
      const from = Date.now() / 1000
      const at = (k: number): number => from + k * everyMs / 1000
      for (let k = 0; k < times; k += 1) {
        await down(flagged && k > 0, at(k))
        if (!flagged) await up(at(k))
        await page.waitForTimeout(everyMs)
      }
      if (flagged) await up(at(times))
    },
  }
}
