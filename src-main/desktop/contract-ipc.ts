/** The contract over Electron's ipc: one channel of texts, through the same dispatcher as the browser host's socket. */
import type { IpcMain, WebContents, WebFrameMain } from 'electron'
import { contractChannel } from '../../src-core/desktop-bridge'
import type { Dispatcher } from '../service/dispatcher'
import { largestMessage, messageFrom } from '../service/message-text'
import { isOwn } from './scheme'

const tooLarge = `The message is larger than the ${largestMessage / 1024} kB allowed. Nothing of it was read.`
const refusal = (error: string): string => JSON.stringify({ id: 0, error })

/** Only the app's own page, and no frame within it. */
const isOwnPage = (frame: WebFrameMain | null): boolean => frame !== null && frame.parent === null && isOwn(frame.url)

/** Answers every message; whatever arrives, the app stays up. */
export const answerPages = (ipc: IpcMain, dispatcher: Dispatcher): void => {
  ipc.handle(contractChannel, async (event, message: unknown) => {
    if (!isOwnPage(event.senderFrame)) return refusal('Only the page of this app may ask.')
    if (typeof message !== 'string') return refusal('The message is not a text.')
    if (Buffer.byteLength(message) > largestMessage) return refusal(tooLarge)
    return JSON.stringify(await dispatcher.dispatch(messageFrom(message)))
  })
}

/** Tells a page every event until it is gone. A page that cannot be told is reported, and holds up nothing that is being recorded. */
export const tellPage = (page: WebContents, dispatcher: Dispatcher, report: (error: unknown) => void): void => {
  const stop = dispatcher.subscribe((published) => {
    // A page that has crashed is loaded anew and told everything afresh.
    if (page.isDestroyed() || page.isCrashed()) return
    try {
      page.send(contractChannel, JSON.stringify(published))
    } catch (error) {
      report(error)
    }
  })
  page.once('destroyed', stop)
}
