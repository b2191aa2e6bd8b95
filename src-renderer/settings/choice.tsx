/** One of a few, as radio buttons in a row. */
import type { JSX } from 'react'

type Props<T extends string | number> = {
  name: string
  legend: string
  options: readonly { value: T; words: string }[]
  chosen: T
  choose: (value: T) => void
  disabled?: boolean
}

export const Choice = <T extends string | number>({ name, legend, options, chosen, choose, disabled = false }: Props<T>): JSX.Element => (
  <fieldset className="choices in-row" disabled={disabled}>
    <legend>{legend}</legend>
    {options.map(({ value, words }) => (
      <label key={value} className="choice">
        <input type="radio" name={name} checked={value === chosen} onChange={() => choose(value)} />
        {words}
      </label>
    ))}
  </fieldset>
)
