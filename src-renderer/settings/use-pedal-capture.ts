/** “Press the pedal now”: hears what one stroke of a pedal sends, however many presses that is, and gives it to nothing else. */
import { useEffect, useEffectEvent } from 'react'
import { withoutRepeats, type KeyPress } from '../../src-core/settings/key-press'
import { pressOfEvent } from '../keys/pedal'

/** A pedal has sent all it sends once nothing came for this long, ms. */
const quietFor = 350
/** Nothing came at all, ms. */
const waitsFor = 15_000
const mostPresses = 4

type Heard = { came: (presses: readonly KeyPress[]) => void; gaveUp: (why: string | null) => void }

export const usePedalCapture = (on: boolean, heard: Heard): void => {
  const came = useEffectEvent(heard.came)
  const gaveUp = useEffectEvent(heard.gaveUp)
  useEffect(() => {
    if (!on) return
    let presses: KeyPress[] = []
    const keysDown = new Set<string>()
    let quiet: ReturnType<typeof setTimeout> | null = null
    const nothing = setTimeout(() =>
      gaveUp('Nothing came. Is the pedal plugged in, and set to send a key? A pedal that sends none cannot be used.'), waitsFor)

    const finish = (): void => {
      const once = withoutRepeats(presses)
      if (once.length <= mostPresses) came(once)
      else gaveUp(`That was ${once.length} presses. Set the pedal to send at most ${mostPresses}, best one key such as F13.`)
    }
    const settle = (): void => {
      if (quiet !== null) clearTimeout(quiet)
      quiet = presses.length === 0 || keysDown.size > 0 ? null : setTimeout(finish, quietFor)
    }
    const down = (event: KeyboardEvent): void => {
      event.preventDefault()
      event.stopPropagation()
      if (event.key === 'Escape' && presses.length === 0) return gaveUp(null)
      if (event.repeat) return
      const press = pressOfEvent(event)
      clearTimeout(nothing)
      if (press !== null) presses = [...presses, press]
      keysDown.add(event.code)
      settle()
    }
    const up = (event: KeyboardEvent): void => {
      event.preventDefault()
      event.stopPropagation()
      keysDown.delete(event.code)
      settle()
    }
    // Ahead of the page: the key that is bound must not press the button that asked for it.
    window.addEventListener('keydown', down, true)
    window.addEventListener('keyup', up, true)
    return () => {
      clearTimeout(nothing)
      if (quiet !== null) clearTimeout(quiet)
      window.removeEventListener('keydown', down, true)
      window.removeEventListener('keyup', up, true)
    }
  }, [on])
}
