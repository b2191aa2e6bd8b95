/** In which order the steps of the next run are asked for. Kept for the shop. */
import type { JSX } from 'react'
import { benchSettings } from '../../src-core/settings/bench-settings'
import { useApp, useSession } from '../app/session'

export const OrderChoice = (): JSX.Element => {
  const { order } = useSession()
  const settings = useApp((state) => state.settings)
  return (
    <label className="field">
      <span>Steps</span>
      <select
        data-testid="step-order"
        value={settings.order}
        onChange={(event) => order('save-settings', { ...settings, order: benchSettings.shape.order.parse(event.target.value) })}
      >
        <option value="sequence">in the order of the sequence</option>
        <option value="tells-most">what tells most first</option>
      </select>
    </label>
  )
}
