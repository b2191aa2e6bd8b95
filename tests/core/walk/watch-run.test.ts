import { describe, expect, it } from 'vitest'
import type { BoardType } from '../../../src-core/board/board-type'
import { seconds } from '../../../src-core/quantity/units'
import { liveView } from '../../../src-core/run/live'
import { lowest, highest } from '../../../src-core/run/pitch'
import { benchView } from '../../../src-core/run/show'
import { benchSpoken } from '../../../src-core/run/spoken'
import { rebuild } from '../../../src-core/run/state'
import { lampDimmer, untilPressed } from '../../bench-tools/walked-board'
import { beginWalk, goodPoints, walkAll } from '../../bench-tools/walking'
import type { Play } from '../run/a-run'

/** The leads apart, about to touch: the watch is asked for. */
const atTheWatch = (board: BoardType = lampDimmer()): Play => {
  const play = walkAll(beginWalk(board), goodPoints)
  play.lift('resistance')
  return play
}
const watched = (play: Play) => {
  const event = play.events().find(({ kind }) => kind === 'watched')
  if (event?.kind !== 'watched') throw new Error('Nothing was followed.')
  return event
}
const all = (play: Play) => play.events().flatMap((event) => (event.kind === 'watched' ? [event] : []))
const live = (play: Play) => liveView(play.bench(), seconds(play.at()))
const press = (play: Play, key: 'confirm' | 'again' | 'back'): string | null => { play.wait(0.6); return play.give({ kind: 'press', press: key, at: seconds(play.at()) }).refused }
const without = lampDimmer({ flex: { limits: undefined } })

describe('a watch on the bench', () => {
  it('ends after its seconds, counted from the first contact, with both extremes, their uncertainty and every frame', () => {
    const play = atTheWatch()
    // The time before the first contact does not count.
    play.hold('resistance', 'overload', 3)
    play.hold('resistance', 0.5, 1)
    play.hold('resistance', 0.7, 1)
    play.hold('resistance', 0.4, 3)
    const event = watched(play)
    expect(event).toMatchObject({ ended: 'time', verdict: 'pass', dropouts: [], limits: { atMost: 2 }, unit: 'Ω' })
    expect(event.seconds).toBeCloseTo(4, 6)
    // The leads of this bench read 0.1 Ω, which is taken off.
    expect([event.minimum?.value, event.maximum?.value, event.maximum?.leadTakenOff]).toEqual([0.3, 0.6, 0.1])
    expect([event.minimum?.uncertainty?.basis, event.raw.length]).toEqual(['generic', event.conversions])
    expect(play.state().ended?.verdict).toBe('pass')
  })
  it('fails by its largest value, though the last one lies within', () => {
    const play = atTheWatch()
    play.hold('resistance', 0.5, 1); play.hold('resistance', 2.5, 0.4); play.hold('resistance', 0.5, 4)
    expect([watched(play).verdict, watched(play).maximum?.value, play.state().ended?.verdict]).toEqual(['fail', 2.4, 'fail'])
  })
  it('fails by a dropout, though every value lies within', () => {
    const play = atTheWatch()
    play.hold('resistance', 0.5, 1.4); play.hold('resistance', 'overload', 0.6); play.hold('resistance', 0.5, 4)
    expect(watched(play)).toMatchObject({ verdict: 'fail', dropouts: [{ shows: 'no-contact' }] })
    expect(watched(play).dropouts[0]?.seconds).toBeCloseTo(0.6, 6)
    expect(benchSpoken(play.bench()).find(({ kind }) => kind === 'result')?.sentences[0]).toBe('fail, 1 dropout')
  })
  it('without limits passes whatever it reads, and fails by a dropout alone', () => {
    const far = atTheWatch(without)
    far.hold('resistance', 100, 2); far.hold('resistance', 130, 3)
    expect([watched(far).verdict, watched(far).limits]).toEqual(['pass', null])
    const lost = atTheWatch(without)
    lost.hold('resistance', 100, 2); lost.hold('resistance', 'overload', 1); lost.hold('resistance', 100, 3)
    expect(watched(lost).verdict).toBe('fail')
  })
  it('without a time ends by a press, and until then says what it has seen', () => {
    const play = atTheWatch(lampDimmer(untilPressed))
    play.hold('resistance', 0.5, 4)
    expect(live(play)).toMatchObject({ state: 'following', wants: 'hold' })
    play.hold('resistance', 0.7, 4)
    expect(live(play)).toMatchObject({ state: 'following: press when done', wants: 'confirm', watch: { minimum: '0.5 Ω', maximum: '0.7 Ω', dropouts: 'no dropout' } })
    expect(press(play, 'confirm')).toBeNull()
    expect(watched(play)).toMatchObject({ ended: 'press', verdict: 'pass' })
  })
  it('takes no press before anything was followed, save for an open one that has shown for a second', () => {
    const play = atTheWatch()
    play.lift('resistance')
    const early = walkAll(beginWalk(), goodPoints)
    expect(press(early, 'confirm')).toMatch(/Nothing has been followed yet/)
    play.hold('resistance', 'overload', 2)
    expect(press(play, 'confirm')).toBeNull()
    expect(watched(play)).toMatchObject({ verdict: 'fail', minimum: null, maximum: null, conversions: 0 })
  })
  it('begins again at R: what it had seen is kept, and only what follows is judged', () => {
    const play = atTheWatch()
    play.hold('resistance', 1.5, 0.8); play.hold('resistance', 1.9, 1.2)
    press(play, 'again')
    press(play, 'again')
    play.lift('resistance')
    play.hold('resistance', 0.5, 5)
    expect(all(play)).toMatchObject([
      { ended: 'interrupted', verdict: 'not-judged', minimum: { value: 1.4 }, maximum: { value: 1.8 }, dropouts: [] },
      { ended: 'time', verdict: 'pass', maximum: { value: 0.4 } },
    ])
    // Of 1.9 Ω the last conversion is not borne out by another.
    expect([all(play)[0]?.conversions, all(play)[0]?.raw.length]).toEqual([8, 9])
    const { watched: standing, earlierWatched, decided } = play.state().steps['flex'] ?? {}
    expect([standing?.ended, earlierWatched?.map(({ ended }) => ended), decided?.verdict, play.state().ended?.verdict]).toEqual(['time', ['interrupted'], 'pass', 'pass'])
    expect(benchView(play.bench(), null, null).steps.find(({ id }) => id === 'flex')).toMatchObject({ value: '0.4 Ω', earlier: ['1.4–1.8 Ω'] })
  })
  it.each<[string, (play: Play) => void, string]>([
    ['a pause', (play) => { play.give({ kind: 'press', press: 'pause', at: seconds(play.at()) }) }, 'paused'],
    ['the loss of its meter', (play) => { play.give({ kind: 'meter-lost', at: seconds(play.at()) }) }, 'meter-lost'],
    ['doubt of its meter', (play) => { play.give({ kind: 'meter-doubted', because: 'another one answers', at: seconds(play.at()) }) }, 'meter-lost'],
    ['a skip', (play) => { play.give({ kind: 'skip', reason: 'no room', at: seconds(play.at()) }) }, 'skipped'],
    ['one step back', (play) => { press(play, 'back') }, 'undone'],
    ['an end by hand', (play) => { play.give({ kind: 'end', reason: 'fetched', at: seconds(play.at()) }) }, 'ended'],
    ['a charged board', (play) => { play.hold('resistance', -3, 0.2) }, 'proof-lapsed'],
  ])('keeps what it had seen before %s, dropouts too, and decides nothing by it', (_, leave, by) => {
    const play = atTheWatch(lampDimmer(untilPressed))
    play.hold('resistance', 0.5, 1); play.hold('resistance', 'overload', 0.6); play.hold('resistance', 0.7, 1)
    const before = play.events().length
    leave(play)
    expect(play.events().slice(before, before + 2).map(({ kind }) => kind)).toEqual(['watched', by])
    expect(all(play)).toMatchObject([{ ended: 'interrupted', verdict: 'fail', minimum: { value: 0.4 }, maximum: { value: 0.6 }, dropouts: [{ shows: 'no-contact' }] }])
    const { watched: standing, earlierWatched } = play.state().steps['flex'] ?? {}
    expect([standing, earlierWatched?.length]).toEqual([null, 1])
    expect(rebuild(play.events())).toEqual(play.state())
  })
  it('keeps nothing where nothing had been followed', () => {
    const play = atTheWatch()
    press(play, 'again')
    play.give({ kind: 'press', press: 'pause', at: seconds(play.at()) })
    expect(all(play)).toEqual([])
  })
  it('is taken back with one press, and made anew', () => {
    const play = atTheWatch(lampDimmer(untilPressed))
    play.hold('resistance', 0.5, 6)
    press(play, 'confirm')
    press(play, 'back')
    expect([play.state().cursor, play.state().standing.some(({ kind }) => kind === 'watched')]).toEqual(['flex', false])
    expect(play.events().filter(({ kind }) => kind === 'watched')).toHaveLength(1)
  })
  it('that was cut short by a kill leaves nothing, and is asked for again', () => {
    const play = atTheWatch(lampDimmer(untilPressed))
    play.hold('resistance', 0.5, 6)
    play.kill()
    expect(play.events().some(({ kind }) => kind === 'watched')).toBe(false)
    expect(play.state().steps['walk']?.learned).toHaveLength(4)
  })
  it('stops at a charged board, as every step does (rule 13)', () => {
    const play = atTheWatch()
    play.hold('resistance', 0.5, 1)
    play.hold('resistance', -3, 0.4)
    expect([play.events().at(-1)?.kind, play.step()?.startsWith('prepare/')]).toEqual(['proof-lapsed', true])
  })
  it('prompts for both tips and for what is done meanwhile', () => expect(benchView(atTheWatch().bench(), null, null).step).toMatchObject({
    prompt: [{ text: 'Red' }, { text: 'on the plus 12 volt terminal,' }, { text: 'black' }, { text: 'on right end of the fuse. Flex the board gently along its long edge.' }],
    where: expect.stringMatching(/follows for 4 s from the first contact/), limits: 'at most 2 Ω',
  }))
})

describe('its tone', () => {
  const pitchAt = (play: Play): number | null | undefined => live(play).watch?.pitch
  const between = lampDimmer({ flex: { limits: { between: [100, 200] }, seconds: undefined } })
  it('is silent without contact', () => {
    const play = atTheWatch(between)
    expect(pitchAt(play)).toBeNull()
    play.hold('resistance', 150, 1)
    play.hold('resistance', 'overload', 0.4)
    expect(pitchAt(play)).toBeNull()
  })
  it('spans one octave from the lower limit to the upper one, and stays where an ear hears it', () => {
    const play = atTheWatch(between)
    const heard = [100, 150, 200, 550, 590].map((value) => { play.hold('resistance', value, 1); return pitchAt(play) ?? 0 })
    expect(heard.slice(0, 3)).toEqual([330, 467, 660])
    expect(heard.every((hertz) => hertz >= lowest && hertz <= highest)).toBe(true)
    expect(heard[4]).toBe(highest)
  })
  it('without two limits rises and falls from the first value: a tenth is more than a tone', () => {
    const play = atTheWatch(lampDimmer({ flex: { limits: undefined, seconds: undefined } }))
    const heard = [100, 110, 90].map((value) => { play.hold('resistance', value, 1); return pitchAt(play) ?? 0 })
    expect(heard).toEqual([440, 532, 356])
  })
})
