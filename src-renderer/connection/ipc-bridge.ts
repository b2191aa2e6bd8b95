/** The desktop's way to the service: the preload's bridge, which carries texts and nothing else. */
import { bridgeName, type DesktopBridge } from '../../src-core/desktop-bridge'
import type { Bridge } from './connection'
import { messageFrom } from './message-text'

declare global {
  interface Window { [bridgeName]?: DesktopBridge }
}

/** The bridge, or null in a browser. */
export const desktopBridge = (page: Pick<Window, typeof bridgeName>): DesktopBridge | null => page[bridgeName] ?? null

export const ipcBridge = (bridge: DesktopBridge): Bridge => ({
  open: ({ opened, received, closed }) => {
    let over = false
    const end = (): void => {
      if (over) return
      over = true
      stop()
      closed()
    }
    const stop = bridge.listen((text) => { if (!over) received(messageFrom(text)) })
    // The caller must hold this line before it hears that it is open.
    queueMicrotask(() => { if (!over) opened() })
    return {
      send: (message) => {
        if (!over) bridge.ask(JSON.stringify(message)).then((text) => { if (!over) received(messageFrom(text)) }, end)
      },
      close: end,
    }
  },
})
