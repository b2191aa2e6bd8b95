/** A field for a figure: kept as typed text, so that half a number can stand while it is being typed. */
import type { JSX } from 'react'

type Props = { words: string; unit: string; value: string; change: (value: string) => void; label?: string }

export const FigureField = ({ words, unit, value, change, label }: Props): JSX.Element => (
  <label className="field small">
    {words !== '' && <span>{words}</span>}
    <span className="with-unit">
      <input
        inputMode="decimal"
        size={8}
        value={value}
        aria-label={label}
        autoComplete="off"
        onChange={(event) => change(event.target.value)}
      />{' '}
      {unit}
    </span>
  </label>
)
