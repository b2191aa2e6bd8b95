/** The choice of two points to measure elsewhere: which lead is being placed, which point is pointed at, and what keys and clicks do. */
import { useState } from 'react'
import { useSession } from '../app/session'
import type { Binding } from '../keys/use-keys'
import { bothOnOneWords } from '../../src-core/run/words'
import type { MeterFunction } from '../../src-core/meter/reading'
import type { BenchView } from '../../src-core/run/view'

type Offered = NonNullable<BenchView['elsewhere']>
export type ElsewherePoint = Offered['points'][number]
export type Lead = 'red' | 'black'
export type Preset = { red: string; black: string; function: MeterFunction }
type State = { run: string; red: string | null; black: string | null; /** Null: both are chosen. */ lead: Lead | null; at: number; dial: number; fault: string | null }

export type Elsewhere = {
  points: readonly ElsewherePoint[]
  red: ElsewherePoint | null
  black: ElsewherePoint | null
  lead: Lead | null
  /** The point Enter would take; null: both are chosen. */
  pointed: ElsewherePoint | null
  dial: Offered['functions'][number]
  /** Why the choice was refused. */
  fault: string | null
  take: (id: string) => void
  point: (id: string) => void
  choose: (lead: Lead) => void
  turn: () => void
  /** Null: a point is still to be chosen. */
  measure: (() => void) | null
  close: () => void
  bindings: Binding[]
}

const placeButtons = (): HTMLButtonElement[] => [...document.querySelectorAll<HTMLButtonElement>('button[data-point]')]
const focusedPlace = (): HTMLButtonElement | null => placeButtons().find((one) => one === document.activeElement) ?? null

/** `chosen` null: it is not open. `preset`: places and function to begin with, where all are offered. It closes by itself where the run waits for something else. */
export const useElsewhere = ({ run, elsewhere: offered }: Pick<BenchView, 'run' | 'elsewhere'>): { chosen: Elsewhere | null; open: (preset?: Preset | null) => void } => {
  const { call } = useSession()
  const [state, setState] = useState<State | null>(null)
  const open = (preset: Preset | null = null): void => {
    const [red, black] = [preset?.red, preset?.black].map((id) => offered?.points.find((point) => point.id === id)?.id ?? null)
    const dial = offered?.functions.findIndex((one) => one.function === preset?.function) ?? -1
    const begun = red === undefined || black === undefined || red === null || black === null || dial < 0 ? { red: null, black: null, lead: 'red' as const, dial: 0 } : { red, black, lead: null, dial }
    setState({ run, at: 0, fault: null, ...begun })
  }
  const close = (): void => setState(null)
  if (state !== null && (offered === undefined || state.run !== run)) setState(null)
  const dial = offered?.functions[(state?.dial ?? 0) % offered.functions.length]
  if (state === null || offered === undefined || state.run !== run || dial === undefined) return { chosen: null, open }

  const { points } = offered
  const named = (id: string | null): ElsewherePoint | null => points.find((point) => point.id === id) ?? null
  const change = (to: Partial<State>): void => setState({ ...state, fault: null, ...to })
  const take = (id: string): void => {
    const lead = state.lead ?? 'red'
    if (id === state[lead === 'red' ? 'black' : 'red']) return change({ fault: bothOnOneWords(named(id)?.name ?? id) })
    const taken = { ...state, [lead]: id }
    // With both chosen the keyboard goes back to the bench: the next Enter measures.
    if (taken.red !== null && taken.black !== null) focusedPlace()?.blur()
    change({ [lead]: id, at: points.findIndex((point) => point.id === id), lead: taken.red === null ? 'red' : taken.black === null ? 'black' : null })
  }
  const move = (by: 1 | -1): void => {
    if (state.lead === null) return
    const at = (state.at + by + points.length) % points.length
    change({ at })
    // A place reached with Tab takes its own Enter: the focus goes with what is pointed at.
    if (focusedPlace() !== null) placeButtons().find(({ dataset }) => dataset['point'] === points[at]?.id)?.focus()
  }
  const pointed = state.lead === null ? null : points[state.at] ?? null
  const { red, black } = state
  const measure = red === null || black === null ? null : (): void => {
    call('measure-elsewhere', { red, black, function: dial.function }).then(close).catch((error: Error) => change({ fault: error.message }))
  }
  const choose = (lead: Lead): void => change({ lead })
  const turn = (): void => change({ dial: state.dial + 1 })
  return {
    open,
    chosen: {
      points, red: named(red), black: named(black), lead: state.lead, pointed, dial, fault: state.fault, take, choose, turn, measure, close,
      point: (id) => { if (id !== pointed?.id) change({ at: points.findIndex((point) => point.id === id) }) },
      bindings: [
        { key: '↓', run: () => move(1) }, { key: '→', run: () => move(1) }, { key: '↑', run: () => move(-1) }, { key: '←', run: () => move(-1) },
        { key: '1', run: () => choose('red') }, { key: '2', run: () => choose('black') }, { key: 'D', run: turn },
        { key: 'Enter', run: () => { if (pointed !== null) take(pointed.id); else measure?.() } },
        { key: 'Esc', run: close },
      ],
    },
  }
}
