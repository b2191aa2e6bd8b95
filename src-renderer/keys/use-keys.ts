/** Binds the keys shown on screen, and those the shop has bound, to what they do; keeps scanned codes and held pedals apart from them. */
import { useEffect, useEffectEvent } from 'react'
import type { KeyPress } from '../../src-core/settings/key-press'
import { isShownKey } from './key-names'
import { addPress, burstBound, commandsInText, noRow, pressOfEvent, strokeOf } from './pedal'
import { noStrokes, settleStrokes, singleKeyWait, strike, type Found } from './scanner'

export type Binding = {
  /** As shown: "Space", "←", "R"; empty for a pedal alone. */
  key: string
  /** What the shop has bound beside it. */
  presses?: readonly KeyPress[] | null
  /** @param at when the key went down, ms of the page. */
  run: (at: number) => void
}
export type Heard = {
  scanned: (text: string) => void
  /** Keys too fast for a hand that were no code. */
  ignored: (text: string) => void
  /** A character no key of this moment is bound to. */
  typed?: (character: string) => void
}

const writesText = (target: EventTarget | null): boolean =>
  target instanceof HTMLInputElement ? !['checkbox', 'radio', 'button', 'range'].includes(target.type)
    : target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement

/** A field for figures leaves the page its keys as long as nothing stands in it. */
const leavesKeys = (target: EventTarget | null): boolean =>
  target instanceof HTMLInputElement && target.dataset['keysWhenEmpty'] !== undefined && target.value === ''

/** A control reached with Tab keeps its own Space and Enter. */
const ownPress = (target: EventTarget | null, key: string): boolean =>
  (key === ' ' || key === 'Enter') && target instanceof HTMLElement
  && target.matches('button:focus-visible, a:focus-visible, summary:focus-visible, input:focus-visible, [role="button"]:focus-visible')

type BoundBinding = Binding & { presses: readonly KeyPress[] }
const isBoundBinding = (binding: Binding): binding is BoundBinding => binding.presses !== undefined && binding.presses !== null

/** While text is being typed the page's own keys stand back, but for a pedal whose key types nothing. */
export const useKeys = (bindings: readonly Binding[], heard: Heard): void => {
  const bound = bindings.filter(isBoundBinding)
  const usual = (key: string): Binding | undefined => bindings.find((one) => one.key !== '' && isShownKey(one.key, key))
  const isPartOf = useEffectEvent((press: KeyPress): boolean => bound.some(({ presses }) =>
    presses.some((one) => strokeOf(one).toLowerCase() === strokeOf(press).toLowerCase())))
  const isUsual = useEffectEvent((key: string): boolean => usual(key) !== undefined)
  const onPress = useEffectEvent((row: typeof noRow, press: KeyPress, at: number): typeof noRow => {
    const added = addPress(row, press, at, bound)
    const binding = added.bound ?? (added.part ? undefined : usual(press.key))
    if (binding !== undefined) binding.run(at)
    else if (!added.part && press.key.length === 1) heard.typed?.(press.key)
    return added.row
  })
  const onBurst = useEffectEvent((found: Exclude<Found, { kind: 'key' }>, at: number) => {
    if (found.kind === 'scanned') return heard.scanned(found.text)
    const binding = found.closed === true ? null : burstBound(found.text, bound)
    if (binding === null) heard.ignored(found.text)
    else binding.run(at)
  })

  useEffect(() => {
    let strokes = noStrokes
    let row = noRow
    let timer: ReturnType<typeof setTimeout> | null = null
    const act = (found: Found[], target: EventTarget | null, press: KeyPress, at: number): void => {
      for (const one of found) {
        if (one.kind !== 'key') onBurst(one, at)
        else if (!ownPress(target, one.key)) row = onPress(row, one.key === strokeOf(press) ? press
          : { key: one.key, ctrl: false, alt: false, shift: false, meta: false }, at)
      }
    }
    const down = (event: KeyboardEvent): void => {
      const press = pressOfEvent(event)
      if (press === null || event.isComposing) return
      const own = ownPress(event.target, event.key)
      const part = !own && isPartOf(press)
      // A shortcut of the browser stays one, unless a pedal sends it.
      if ((press.ctrl || press.alt || press.meta) && !part) return
      const acts = part || (!own && isUsual(event.key))
      const leaves = leavesKeys(event.target) && (strokes.text !== '' || acts)
      if (writesText(event.target) && !leaves && !(part && commandsInText(press))) return
      // A key held down is one press; its repeats do nothing, on the page neither.
      if (event.repeat) {
        if (acts) event.preventDefault()
        return
      }
      const stroke = part ? strokeOf(press) : event.key
      const step = strike(strokes, stroke, event.timeStamp)
      strokes = step.strokes
      // A key that brings out those before it may have moved the focus by that: it is held like them, not typed where the focus went.
      const brings = step.found.length > 0 && press.key.length === 1 && !writesText(event.target)
      if (step.fast || acts || brings) event.preventDefault()
      if (timer !== null) clearTimeout(timer)
      timer = null
      const { target, timeStamp } = event
      if (step.wait) {
        timer = setTimeout(() => {
          const settled = settleStrokes(strokes, timeStamp + singleKeyWait)
          strokes = settled.strokes
          act(settled.found, target, press, timeStamp)
        }, singleKeyWait)
      }
      act(step.found, target, press, timeStamp)
    }
    window.addEventListener('keydown', down)
    return () => {
      window.removeEventListener('keydown', down)
      if (timer !== null) clearTimeout(timer)
    }
  }, [])
}
