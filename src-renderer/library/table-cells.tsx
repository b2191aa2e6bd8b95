/** The cells of a table that is typed into: a figure, and one of several words. */
import type { JSX } from 'react'

type Figure = { label: string; value: string; unit?: string; change: (value: string) => void; placeholder?: string; size?: number }

export const FigureCell = ({ label, value, unit, change, placeholder, size = 7 }: Figure): JSX.Element => (
  <span className="with-unit">
    <input aria-label={label} size={size} value={value} placeholder={placeholder} autoComplete="off" onChange={(event) => change(event.target.value)} />
    {unit !== undefined && ` ${unit}`}
  </span>
)

type Choice<T extends string> = { label: string; value: T; of: readonly T[]; words: Record<T, string>; change: (value: T) => void }

export const ChoiceCell = <T extends string>({ label, value, of, words, change }: Choice<T>): JSX.Element => (
  <select
    aria-label={label} value={value}
    onChange={(event) => {
      const found = of.find((one) => one === event.target.value)
      if (found !== undefined) change(found)
    }}
  >
    {of.map((one) => <option key={one} value={one}>{words[one]}</option>)}
  </select>
)
