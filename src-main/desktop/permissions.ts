/** What the desktop's pages may not do: everything but drawing the app and keeping the screen awake. */
import type { App, Session } from 'electron'
import { isOwn, pageAddress } from './scheme'

const mayHave = (permission: string, asking: string): boolean => permission === 'screen-wake-lock' && isOwn(asking)

/** Every permission is refused save the wake lock, and nothing is loaded from a network or a disk. */
export const closeSession = (session: Session): void => {
  session.setPermissionRequestHandler((contents, permission, answer) => answer(mayHave(permission, contents.getURL())))
  session.setPermissionCheckHandler((_contents, permission, requestingOrigin) => mayHave(permission, requestingOrigin))
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
