/** The screen's state: made from what the service said, and brought to the bench by a run. */
import { describe, expect, it } from 'vitest'
import { initialState, reduce, type AppState } from '../../src-renderer/app/state'
import type { BenchView } from '../../src-core/run/view'

const bench = (run: string): BenchView => ({
  run,
  board: { id: 'mist-valve-node', name: 'Mist valve node', revision: 'A' },
  serialNumber: 'MV-0007',
  status: 'running',
  practice: false,
  picture: null,
  step: null,
  steps: [],
  keys: [],
  leads: '',
  proof: '', notes: [],
  result: null,
})

const told = (state: AppState, payload: BenchView | null): AppState => reduce(state, { kind: 'event', event: { event: 'bench', payload } })

describe('which screen is shown', () => {
  it('a run that starts brings the bench', () => {
    expect(told(initialState, bench('one')).screen).toBe('bench')
  })

  it('a technician who went to look at the meters is left there while the run goes on', () => {
    const away = reduce(told(initialState, bench('one')), { kind: 'go', screen: 'meters' })
    expect(told(away, { ...bench('one'), proof: 'proven' }).screen).toBe('meters')
    expect(told(away, bench('two')).screen).toBe('bench')
  })

  it('a run put away leaves the bench for Start, and no other screen', () => {
    expect(told(told(initialState, bench('one')), null).screen).toBe('start')
    expect(told(reduce(told(initialState, bench('one')), { kind: 'go', screen: 'boards' }), null).screen).toBe('boards')
  })
})

describe('messages', () => {
  it('the same words said twice are two messages', () => {
    const once = reduce(initialState, { kind: 'say', text: 'lift first', as: 'note' })
    const twice = reduce(once, { kind: 'say', text: 'lift first', as: 'note' })
    expect(twice.message?.number).not.toBe(once.message?.number)
    expect(reduce(twice, { kind: 'hush' }).message).toBeNull()
  })

  it('a lost service is shown and everything known is kept', () => {
    const lost = reduce(told(initialState, bench('one')), { kind: 'down', again: 1 })
    expect(lost.service).toEqual({ status: 'down', again: 1 })
    expect(lost.bench?.run).toBe('one')
  })
})
