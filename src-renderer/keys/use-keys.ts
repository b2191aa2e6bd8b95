/** Binds the keys shown on screen to what they do, and keeps scanned codes apart from them. */
import { useEffect, useEffectEvent } from 'react'
import { isShownKey } from './key-names'
import { noStrokes, settleStrokes, singleKeyWait, strike, type Found } from './scanner'

export type Binding = { key: string; run: () => void }
export type Heard = {
  scanned: (text: string) => void
  /** Keys too fast for a hand that were no code. */
  ignored: (text: string) => void
  /** A character no key of this moment is bound to. */
  typed?: (character: string) => void
}

const writesText = (target: EventTarget | null): boolean =>
  target instanceof HTMLInputElement ? !['checkbox', 'radio', 'button'].includes(target.type)
    : target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement

/** A field for figures leaves the page its keys as long as nothing stands in it. */
const leavesKeys = (target: EventTarget | null): boolean =>
  target instanceof HTMLInputElement && target.dataset['keysWhenEmpty'] !== undefined && target.value === ''

/** A control reached with Tab keeps its own Space and Enter. */
const ownPress = (target: EventTarget | null, key: string): boolean =>
  (key === ' ' || key === 'Enter') && target instanceof HTMLElement
  && target.matches('button:focus-visible, a:focus-visible, summary:focus-visible, input:focus-visible, [role="button"]:focus-visible')

/** While text is being typed only `scanned` of that field matters: the page's own keys stand back. */
export const useKeys = (bindings: readonly Binding[], heard: Heard): void => {
  const press = (key: string): void => {
    const binding = bindings.find((one) => isShownKey(one.key, key))
    if (binding !== undefined) binding.run()
    else if (key.length === 1) heard.typed?.(key)
  }
  const act = useEffectEvent((found: Found[], target: EventTarget | null) => {
    for (const one of found) {
      switch (one.kind) {
        case 'key':
          if (!ownPress(target, one.key)) press(one.key)
          break
        case 'scanned': heard.scanned(one.text); break
        case 'ignored': heard.ignored(one.text); break
      }
    }
  })
  const isBound = useEffectEvent((key: string) => bindings.some((binding) => isShownKey(binding.key, key)))

  useEffect(() => {
    let strokes = noStrokes
    let timer: ReturnType<typeof setTimeout> | null = null
    const down = (event: KeyboardEvent): void => {
      if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return
      if (writesText(event.target) && !(leavesKeys(event.target) && (strokes.text !== '' || isBound(event.key)))) return
      const own = ownPress(event.target, event.key)
      // A key held down is one press; its repeats do nothing, on the page neither.
      if (event.repeat) {
        if (isBound(event.key)) event.preventDefault()
        return
      }
      const step = strike(strokes, event.key, event.timeStamp)
      strokes = step.strokes
      if (step.fast || (!own && isBound(event.key))) event.preventDefault()
      if (timer !== null) clearTimeout(timer)
      timer = null
      if (step.wait) {
        const { target, timeStamp } = event
        timer = setTimeout(() => {
          const settled = settleStrokes(strokes, timeStamp + singleKeyWait)
          strokes = settled.strokes
          act(settled.found, target)
        }, singleKeyWait)
      }
      act(step.found, event.target)
    }
    window.addEventListener('keydown', down)
    return () => {
      window.removeEventListener('keydown', down)
      if (timer !== null) clearTimeout(timer)
    }
  }, [])
}
