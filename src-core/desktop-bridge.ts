/** The bridge between the desktop's page and its service: names and types only, so that a sandboxed preload can hold it. */

/** The one channel between page and service. */
export const contractChannel = 'probewright-contract'
/** The bridge's name on the page's window. */
export const bridgeName = 'probewrightBridge'

/** Carries the texts of the contract and understands none of them. */
export type DesktopBridge = {
  /** Sends one message; resolves with the answer to it. */
  ask: (text: string) => Promise<string>
  /** Gets every event; what is returned ends it. */
  listen: (heard: (text: string) => void) => () => void
}
