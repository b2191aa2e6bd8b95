/** Keeps the display on while a run is running, whatever the page does. */
import type { PowerSaveBlocker } from 'electron'
import { events } from '../../src-core/contract'
import type { Dispatcher } from '../service/dispatcher'

/** What is returned lets the display sleep again, for good. */
export const keepAwakeDuringRuns = (blocker: PowerSaveBlocker, dispatcher: Dispatcher): (() => void) => {
  let held: number | null = null
  const release = (): void => {
    if (held !== null) blocker.stop(held)
    held = null
  }
  const stop = dispatcher.subscribe(({ event, payload }) => {
    if (event !== 'bench') return
    if (events.bench.parse(payload)?.status !== 'running') release()
    else held ??= blocker.start('prevent-display-sleep')
  })
  return () => {
    stop()
    release()
  }
}
