/** Which host serves this start, and why: decided from facts alone. */
import type { Host } from './options'

export type StartFacts = {
  /** What --host says, or null. */
  asked: Host | null
  /** --no-open or --port: somebody wants an address. */
  wantsAddress: boolean
  platform: NodeJS.Platform
  root: boolean
  display: boolean
  /** The runtime's program, or null where it is not there. */
  runtime: string | null
}

export type HostChoice =
  | { host: 'desktop'; executable: string }
  /** `because` is the line that says why not the desktop; null where the browser was asked for. */
  | { host: 'browser'; because: string | null }
  | { host: 'none'; because: string }

/** Why no window can open here, whatever is installed; null: one can. */
export const noWindowHere = ({ platform, root, display }: Pick<StartFacts, 'platform' | 'root' | 'display'>): string | null => {
  if (platform !== 'linux') return null
  if (root) return 'the desktop does not run as root: its sandbox needs an ordinary account'
  return display ? null : 'there is no display here (neither DISPLAY nor WAYLAND_DISPLAY is set)'
}

const noRuntime = 'the desktop’s runtime is not here yet; “npm run desktop” fetches it'

export const cannotOpen = (because: string): string =>
  `The desktop cannot open: ${because}. Run npm start: the app then opens in your browser.`

export const chooseHost = (facts: StartFacts): HostChoice => {
  if (facts.asked === 'browser' || (facts.asked === null && facts.wantsAddress)) return { host: 'browser', because: null }
  if (facts.asked === 'desktop' && facts.wantsAddress) {
    return { host: 'none', because: '--port and --no-open belong to the browser host. Leave them out, or say --host browser.' }
  }
  const noWindow = noWindowHere(facts)
  if (noWindow === null && facts.runtime !== null) return { host: 'desktop', executable: facts.runtime }
  const because = noWindow ?? noRuntime
  return facts.asked === 'desktop'
    ? { host: 'none', because: cannotOpen(because) }
    : { host: 'browser', because: `In your browser, because ${because}.` }
}
