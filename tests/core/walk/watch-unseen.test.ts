/** What nobody saw passes nothing: silence, gaps in the frames and other modes inside a watch (capture.md, rules 4 to 6). */
import { describe, expect, it } from 'vitest'
import type { RunEvent } from '../../../src-core/run/event'
import { seconds } from '../../../src-core/quantity/units'
import { lampDimmer, untilPressed } from '../../bench-tools/walked-board'
import { beginWalk, goodPoints, walkAll } from '../../bench-tools/walking'
import { shown, type Play } from '../run/a-run'

const atTheWatch = (board = lampDimmer()): Play => { const play = walkAll(beginWalk(board), goodPoints); play.lift('resistance'); return play }
const watches = (play: Play) => play.events().filter((event): event is Extract<RunEvent, { kind: 'watched' }> => event.kind === 'watched')
const press = (play: Play): string | null => play.give({ kind: 'press', press: 'confirm', at: seconds(play.at()) }).refused
/** The leads leave, then five seconds well within the limits. */
const anew = (play: Play): void => { play.lift('resistance'); play.hold('resistance', 0.5, 5) }

describe('a watch, where the meter says nothing', () => {
  it('ends nothing by a tick, however long the silence: its time is over with a reading only', () => {
    const play = atTheWatch()
    play.hold('resistance', 0.5, 0.8)
    play.wait(30)
    expect([watches(play), play.state().ended]).toEqual([[], null])
  })
  it('ends nothing by a tick within the time between two frames either', () => {
    const play = atTheWatch()
    play.hold('resistance', 0.5, 4.2)
    play.wait(0.4)
    expect(watches(play)).toEqual([])
    play.hold('resistance', 0.5, 0.2)
    expect(watches(play)).toMatchObject([{ ended: 'time', verdict: 'pass' }])
  })
  it('refuses the press, and records nothing of it', () => {
    const play = atTheWatch(lampDimmer(untilPressed))
    play.hold('resistance', 0.5, 6)
    play.wait(60)
    expect(press(play)).toMatch(/has gone quiet/)
    expect(watches(play)).toEqual([])
  })
  it('refuses it behind a gap that is shorter than silence too', () => {
    const play = atTheWatch(lampDimmer(untilPressed))
    play.hold('resistance', 0.5, 6)
    play.wait(1.8)
    expect(press(play)).toMatch(/has gone quiet/)
  })
  it('begins anew behind such a gap, with no lift asked, and counts its whole time again', () => {
    const play = atTheWatch()
    play.hold('resistance', 1.9, 2)
    play.wait(1.8)
    play.hold('resistance', 0.5, 3.8)
    expect(watches(play)).toEqual([])
    play.hold('resistance', 0.5, 1)
    expect(watches(play)).toMatchObject([{ verdict: 'pass', maximum: { value: 0.4 } }])
    expect(watches(play)[0]?.seconds).toBeCloseTo(4, 6)
  })
  it('begins though the meter left frames out as the tips came on, as many do in ranging', () => {
    const play = atTheWatch()
    play.wait(1.2)
    play.hold('resistance', 0.5, 5)
    expect(watches(play)).toMatchObject([{ verdict: 'pass' }])
  })
})

describe('a press before its time is over', () => {
  it('passes nothing', () => {
    const play = atTheWatch()
    play.hold('resistance', 0.5, 1.6)
    expect(press(play)).toMatch(/It has followed 1\.2 s of 4 s/)
    expect(watches(play)).toEqual([])
    play.hold('resistance', 0.5, 3)
    expect(watches(play)).toMatchObject([{ ended: 'time', verdict: 'pass' }])
  })
  it('ends what has failed', () => {
    const play = atTheWatch()
    play.hold('resistance', 0.5, 1); play.hold('resistance', 'overload', 0.6); play.hold('resistance', 0.5, 0.6)
    expect(press(play)).toBeNull()
    expect(watches(play)).toMatchObject([{ ended: 'press', verdict: 'fail', dropouts: [{ shows: 'no-contact' }] }])
  })
})

describe('what had failed before it began anew', () => {
  const lost = (): Play => { const play = atTheWatch(); play.hold('resistance', 0.5, 1); play.hold('resistance', 'overload', 0.6); play.hold('resistance', 0.5, 0.8); return play }
  const hold = (play: Play): void => { play.give({ kind: 'reading', reading: { ...shown('resistance', 0.5, play.at() + 0.2), flags: ['hold'] } }) }
  it.each([
    ['silence', (play: Play) => { play.wait(5) }], ['a shorter gap', (play: Play) => { play.wait(1.8) }],
    ['hold', hold], ['another function', (play: Play) => { play.hold('diode', 0.5, 0.4) }],
  ])('is kept behind %s, and decides nothing', (_, interrupt) => {
    const play = lost()
    interrupt(play)
    play.hold('resistance', 0.5, 0.2)
    expect(watches(play)).toMatchObject([{ ended: 'interrupted', verdict: 'fail', dropouts: [{ shows: 'no-contact' }] }])
    expect(watches(play)[0]?.seconds).toBeCloseTo(2, 6)
    expect([play.step(), play.state().steps['flex']?.decided]).toEqual(['flex', null])
    anew(play)
    expect(watches(play).map(({ ended, verdict }) => [ended, verdict])).toEqual([['interrupted', 'fail'], ['time', 'pass']])
    expect(play.state().steps['flex']?.watched?.ended).toBe('time')
  })
  it('is a value beyond the limits as well', () => {
    const play = atTheWatch()
    play.hold('resistance', 1.9, 1); play.hold('resistance', 2.5, 0.4); play.hold('resistance', 1.9, 0.4)
    hold(play)
    expect(watches(play)).toMatchObject([{ ended: 'interrupted', verdict: 'fail', maximum: { value: 2.4 }, dropouts: [] }])
  })
  it('is nothing where all had been well, or nothing was followed yet', () => {
    const play = atTheWatch()
    hold(play)
    play.lift('resistance'); play.hold('resistance', 0.5, 2)
    hold(play)
    expect(watches(play)).toEqual([])
  })
})
