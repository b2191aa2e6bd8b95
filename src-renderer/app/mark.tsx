/** The mark of the app: the two leads' marks, side by side. */
import type { JSX } from 'react'

export const Mark = (): JSX.Element => (
  <svg className="mark" viewBox="0 0 32 20" aria-hidden="true" focusable="false">
    <circle className="mark-red" cx="9" cy="10" r="6" />
    <rect className="mark-black" x="18.5" y="4.5" width="11" height="11" />
    <path className="mark-tip" d="M9 10v.01M24 10v.01" />
  </svg>
)
