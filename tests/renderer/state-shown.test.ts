/** The state line says no more than the page knows. */
import { describe, expect, it } from 'vitest'
import { stateShown } from '../../src-renderer/bench/state-shown'
import type { LiveView } from '../../src-core/run/view'

const lost: LiveView = { reading: null, perSecond: null, mark: null, state: 'meter lost, reconnecting', tone: 'stop', beads: null, spoken: null, wants: 'nothing' }
const touch: LiveView = { ...lost, state: 'touch both points', tone: 'ask', wants: 'touch' }

describe('the state line', () => {
  it('says a lost meter is being reconnected only where one had been connected', () => {
    expect(stateShown(lost, { status: 'lost' }, false).state).toBe('meter lost, reconnecting')
    expect(stateShown(lost, { status: 'closed' }, false)).toMatchObject({ state: 'no meter is connected', tone: 'stop' })
  })

  it('asks for nothing once the app is lost', () => {
    expect(stateShown(touch, { status: 'open' }, true)).toMatchObject({ tone: 'stop', wants: 'nothing' })
    expect(stateShown(touch, { status: 'open' }, true).state).not.toBe(touch.state)
  })

  it('is otherwise the run’s own', () => {
    expect(stateShown(touch, { status: 'open' }, false)).toEqual(touch)
    expect(stateShown({ ...touch, state: 'do this, then press', wants: 'press' }, { status: 'closed' }, false).state).toBe('do this, then press')
  })
})
