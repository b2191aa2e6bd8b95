/** Signs that stand beside words: each has its own shape, so that colour is never the only difference. */
import type { JSX } from 'react'

export type SignName =
  | 'pass' | 'conditional-pass' | 'conditional-fail' | 'fail' | 'doubtful' | 'not-judged' | 'skipped'
  | 'beyond-repair' | 'incomplete' | 'ask' | 'busy' | 'good' | 'warn' | 'stop' | 'live' | 'quiet' | 'gone'

const tick = <path d="M4 12.5l5 5L20 6.5" />
const cross = <path d="M6 6l12 12M18 6L6 18" />
const triangle = <><path d="M12 3.5L22 20.5H2z" /><path d="M12 10v5M12 17.6v.4" /></>

const shapes: Record<SignName, JSX.Element> = {
  pass: tick,
  good: tick,
  'conditional-pass': <><path d="M2.5 13l4 4L15 8" /><path d="M20 6v8M20 18v.5" /></>,
  'conditional-fail': <><path d="M3 7l10 10M13 7L3 17" /><path d="M20 6v8M20 18v.5" /></>,
  fail: cross,
  gone: cross,
  doubtful: <><path d="M8 9a4 4 0 1 1 6 3.4c-1.4.8-2 1.5-2 3" /><path d="M12 19v.5" /></>,
  'not-judged': <path d="M5 12h14" />,
  incomplete: <path d="M3 12h2.5M10.8 12h2.5M18.5 12h2.5" />,
  skipped: <path d="M4 6l6 6-6 6M12 6l6 6-6 6M20.5 6v12" />,
  'beyond-repair': <><path d="M8 3h8l5 5v8l-5 5H8l-5-5V8z" /><path d="M8.5 8.5l7 7M15.5 8.5l-7 7" /></>,
  stop: <><path d="M8 3h8l5 5v8l-5 5H8l-5-5V8z" /><path d="M7.5 12h9" /></>,
  ask: <path d="M12 4v15M5.5 12.5L12 19l6.5-6.5" />,
  busy: <path d="M4.5 12v.1M12 12v.1M19.5 12v.1" strokeWidth="4" />,
  warn: triangle,
  live: <circle cx="12" cy="12" r="6" fill="currentColor" />,
  quiet: <circle cx="12" cy="12" r="7" />,
}

export const Sign = ({ name }: { name: SignName }): JSX.Element => (
  <svg className={`sign sign-${name}`} viewBox="0 0 24 24" aria-hidden="true" focusable="false">{shapes[name]}</svg>
)
