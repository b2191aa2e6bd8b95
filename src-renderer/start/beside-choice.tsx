/** Whether a good board lies beside the one under test, so that steps are made on both. */
import type { JSX } from 'react'

type Props = { name: string; beside: boolean; choose: (beside: boolean) => void }

export const BesideChoice = ({ name, beside, choose }: Props): JSX.Element => (
  <label className="tick-field">
    <input type="checkbox" data-testid={name} checked={beside} onChange={(event) => choose(event.target.checked)} />
    <span>Beside a good board: each step on the good one first</span>
  </label>
)
