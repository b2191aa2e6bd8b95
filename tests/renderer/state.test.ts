/** The screen's state: made from what the service said, and brought to the bench by a run. */
import { describe, expect, it } from 'vitest'
import { initialState, reduce, type AppState } from '../../src-renderer/app/state'
import type { BenchView, LiveView } from '../../src-core/run/view'

const bench = (run: string): BenchView => ({
  run,
  board: { id: 'mist-valve-node', name: 'Mist valve node', revision: 'A' },
  serialNumber: 'MV-0007',
  status: 'running',
  practice: false,
  byEye: false,
  record: false,
  picture: null,
  step: null,
  steps: [],
  keys: [],
  leads: '',
  proof: '', spoken: [], notes: [],
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

  it('a check begun on Meters goes back to Meters when it is left, and the next run begun on Start to Start', () => {
    const up: AppState = { ...initialState, service: { status: 'up' } }
    const onMeters = reduce(up, { kind: 'go', screen: 'meters' })
    const left = told(told(onMeters, bench('check')), null)
    expect(left.screen).toBe('meters')
    expect(told(told(reduce(left, { kind: 'go', screen: 'start' }), bench('one')), null).screen).toBe('start')
  })

  it('teaching begins with the port and the speed that were known on Connect', () => {
    const from = { path: '/dev/ttyUSB1', port: { baud: 4800, dataBits: 7, parity: 'even', stopBits: 1 } } as const
    expect(reduce(initialState, { kind: 'teach', from })).toMatchObject({ screen: 'teach', toTeach: from })
  })
})

describe('messages', () => {
  it('the same words said twice are two messages', () => {
    const once = reduce(initialState, { kind: 'say', text: 'lift first', as: 'note' })
    const twice = reduce(once, { kind: 'say', text: 'lift first', as: 'note' })
    expect(twice.message?.number).not.toBe(once.message?.number)
    expect(reduce(twice, { kind: 'hush' }).message).toBeNull()
  })

  it('what could not be done before is gone once a run is begun, and what is said of that run stays', () => {
    const refused = reduce(told(initialState, bench('one')), { kind: 'say', text: 'not isolated', as: 'problem' })
    expect(told(refused, { ...bench('one'), proof: 'proven' }).message?.text).toBe('not isolated')
    expect(told(refused, bench('two')).message).toBeNull()
    expect(told(reduce(refused, { kind: 'say', text: 'opening words', as: 'note' }), bench('two')).message?.text).toBe('opening words')
  })

  it('once the app is lost the run is kept to be read, and no reading looks live', () => {
    const live: LiveView = {
      reading: { figure: '221.4', unit: 'Ω', function: 'resistance', flags: [] },
      perSecond: 2.5, mark: 0.4, state: 'steadying, hold still', tone: 'busy', beads: { have: 1, of: 3 }, spoken: null, wants: 'hold',
    }
    const before = reduce(told(initialState, bench('one')), { kind: 'event', event: { event: 'live', payload: live } })
    expect(before.live.reading?.figure).toBe('221.4')
    const lost = reduce(before, { kind: 'down', again: 1 })
    expect(lost.service).toEqual({ status: 'down', again: 1 })
    expect(lost.bench?.run).toBe('one')
    expect(lost.live).toMatchObject({ reading: null, mark: null, perSecond: null, beads: null, state: '' })
  })
})
