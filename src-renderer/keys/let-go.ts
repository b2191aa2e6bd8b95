/** A button that was clicked gives up the focus; one pressed by keyboard keeps it. */
import type { MouseEvent } from 'react'

/** Else the next key would make the browser show the focus there, and the Space or Enter after it would press this button again, not what stands beside the key on screen. */
export const letGo = ({ detail, currentTarget }: MouseEvent<HTMLElement>): void => {
  if (detail > 0) currentTarget.blur()
}
