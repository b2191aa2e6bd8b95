/** What the desktop's pages may not do: everything but drawing the app, keeping the screen awake and, for photographs of a repair, seeing through a camera. */
import type { App, Session } from 'electron'
import { isOwn, pageAddress } from './scheme'

/** @param media what of `media` is asked for: a camera may be, never a microphone, nor both. */
const mayHave = (permission: string, asking: string, media: readonly string[]): boolean =>
  isOwn(asking) && (permission === 'screen-wake-lock' || (permission === 'media' && media.length > 0 && media.every((one) => one === 'video')))

/** Every permission is refused save the wake lock and a camera without sound, and nothing is loaded from a network or a disk. */
export const closeSession = (session: Session): void => {
  session.setPermissionRequestHandler((contents, permission, answer, details) => answer(mayHave(permission, contents.getURL(), 'mediaTypes' in details ? details.mediaTypes ?? [] : [])))
  session.setPermissionCheckHandler((_contents, permission, requestingOrigin, { mediaType }) => mayHave(permission, requestingOrigin, mediaType === undefined ? [] : [mediaType]))
  session.setDevicePermissionHandler(() => false)
  session.webRequest.onBeforeRequest(({ url }, answer) => answer({ cancel: /^(https?|wss?|ftp|file):/i.test(url) }))
}

/** For every page there will ever be: it stays where it is, opens no other window, and holds no web view. */
export const holdPages = (app: App): void => {
  app.on('web-contents-created', (_event, contents) => {
    // Loading the same page anew is no way out.
    const stay = (details: { url: string; preventDefault: () => void }): void => {
      if (details.url !== pageAddress) details.preventDefault()
    }
    contents.on('will-navigate', stay)
    contents.on('will-frame-navigate', stay)
    contents.on('will-redirect', stay)
    contents.on('will-attach-webview', (event) => event.preventDefault())
    contents.setWindowOpenHandler(() => ({ action: 'deny' }))
  })
}
