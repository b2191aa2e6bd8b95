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
  const down = (autoRepeat = false): Promise<unknown> => session.send('Input.dispatchKeyEvent', { type: 'rawKeyDown', ...key, autoRepeat })
  const up = (): Promise<unknown> => session.send('Input.dispatchKeyEvent', { type: 'keyUp', ...key })
  return {
    press: async () => {
      await down()
      await up()
    },
    hold: async (times, everyMs, flagged) => {
      for (let k = 0; k < times; k += 1) {
        await down(flagged && k > 0)
        if (!flagged) await up()
        await page.waitForTimeout(everyMs)
      }
      if (flagged) await up()
    },
  }
}
