/** What is said aloud: short enough to be heard between two touches, and in words that a speech engine reads well. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { boardType, type BoardType } from '../../../src-core/board/board-type'
import { usualBenchKit } from '../../../src-core/meter/instrument'
import { seconds } from '../../../src-core/quantity/units'
import { liveView } from '../../../src-core/run/live'
import { makePlan } from '../../../src-core/run/plan'
import { preparationSteps } from '../../../src-core/run/preparation'
import { skipAskSpoken, skipReasons } from '../../../src-core/run/reasons'
import { benchView } from '../../../src-core/run/show'
import { cautionSpoken, sayAgain, stepSpoken } from '../../../src-core/run/spoken'
import { pointSpoken, titleSpoken, valueSpoken } from '../../../src-core/run/spoken-names'
import { fitsBetweenTouches, mostSeconds, mostWords, spokenSeconds, syllables, wordCount } from '../../../src-core/run/spoken-time'
import type { Utterance } from '../../../src-core/run/view'
import { root } from '../../bench-tools/running-app'
import { newMeter, play, smallBoard, type Play } from './a-run'

const shipped: BoardType[] = ['fixtures/boards', 'fixtures/more-boards'].flatMap((home) => readdirSync(join(root, home))
  .map((folder) => boardType.parse(JSON.parse(readFileSync(join(root, home, folder, 'board.json'), 'utf8')))))
const everyStep = shipped.flatMap((board) => {
  const plan = makePlan(board, preparationSteps(board, usualBenchKit))
  return [...plan.preparation, ...plan.steps].map((step) => ({ name: `${board.id} ${board.revision}, ${step.id}`,
    sentences: stepSpoken(board, step, null), cautioned: step.caution !== null }))
})

const spokenBy = (bench: Play): Utterance[] => benchView(bench.bench(), null, null).spoken
const said = (bench: Play, kind: Utterance['kind']): string[] => spokenBy(bench).filter((each) =>
  each.kind === kind).flatMap(({ sentences }) => sentences)
const waitedFor = (bench: Play): Utterance | null => liveView(bench.bench(), seconds(bench.at())).spoken

/** Past the preparation of the small board, at its step R1. */
const atR1 = (): Play => {
  const bench = play()
  bench.confirm()
  bench.open('dc-voltage')
  bench.confirm()
  return bench
}

describe('a prompt is short enough to be heard between two touches', () => {
  it('says something for every step of every sample board', () => {
    expect(everyStep.length).toBeGreaterThan(40)
    expect(everyStep.filter(({ sentences }) => sentences.some((sentence) => sentence.trim() === ''))).toEqual([])
  })

  it.each(everyStep)(`$name: each sentence at most ${mostWords} words and ${mostSeconds} s`, ({ sentences }) => {
    for (const sentence of sentences) {
      expect(wordCount(sentence), sentence).toBeLessThanOrEqual(mostWords)
      expect(spokenSeconds(sentence), sentence).toBeLessThanOrEqual(mostSeconds)
    }
  })

  it('does not fall back on the screen for any measured step of a sample board', () => {
    const fallsBack = (sentence: string): boolean => sentence !== cautionSpoken && /picture|screen/.test(sentence)
    expect(everyStep.filter(({ sentences }) => sentences.some(fallsBack)).map(({ name }) => name)).toEqual([])
  })

  it('ends with the caution where a step has one, and nowhere else', () => {
    expect(everyStep.some(({ cautioned }) => cautioned)).toBe(true)
    for (const { name, sentences, cautioned } of everyStep) {
      expect([name, sentences.at(-1) === 'caution, read the screen', sentences.indexOf(cautionSpoken)]).toEqual(
        [name, cautioned, cautioned ? sentences.length - 1 : -1])
    }
    expect(fitsBetweenTouches(cautionSpoken)).toBe(true)
  })

  it('sends to the screen for a title that is too long to be heard', () => {
    const long = smallBoard({ sequence: { id: 'input', version: 1, steps: [{ kind: 'look', id: 'look',
      title: 'Look at every solder joint of both rows under the lens at once', words: 'Look.' }] } })
    const [step] = makePlan(long, []).steps
    expect(step === undefined ? [] : stepSpoken(long, step, null)).toEqual(['read the step on the screen'])
  })

  it.each([...skipReasons, null])('a reason to skip, %s, fits too', (reason) =>
    expect(fitsBetweenTouches(skipAskSpoken(reason))).toBe(true))

  // Counted by hand, from memory of how the words are spoken.
  it.each([
    ['red on J 1 pin 2, black on R 3 pin 2', 12], ['dial to diode test', 6], ['fail, 4.7 kilo ohm', 7], ['fail, 221 ohm', 9],
      ['touch once more', 3], ['board is charged, stop', 4],
    ['dial to resistance', 5], ['dial to capacitance', 6], ['skip, cannot reach it', 5],
  ])('%s has %d syllables, give or take one', (sentence, counted) => {
    expect(Math.abs(syllables(sentence) - counted)).toBeLessThanOrEqual(1)
  })

  it('counts a part with its pin as one name', () => {
    expect(wordCount('red on J 1 pin 2, black on R 3 pin 2')).toBe(6)
    expect(wordCount('red on U 2 pin A, black on D 4 anode')).toBe(7)
  })
})

describe('designators and values are said as a person says them', () => {
  it.each([
    ['J1.2', 'J 1 pin 2'], ['R3.2', 'R 3 pin 2'], ['JP2.2', 'J P 2 pin 2'], ['U2.A', 'U 2 pin A'], ['U2.GND', 'U 2 pin G N D'],
      ['D4.anode', 'D 4 anode'], ['TP5', 'T P 5'],
  ])('%s is “%s”', (id, words) => expect(pointSpoken(id)).toBe(words))

  it('spells the designators in a title', () => {
    expect(titleSpoken('Pull links JP1, JP2, JP3')).toBe('Pull links J P 1, J P 2, J P 3')
    expect(titleSpoken('Look: U2.A')).toBe('Look, U 2 pin A')
  })

  it('says values to three digits with prefix and unit in words', () => {
    expect(valueSpoken(4700, 'resistance', 'Ω')).toBe('4.7 kilo ohm')
    expect(valueSpoken(221.4, 'resistance', 'Ω')).toBe('221 ohm')
    expect(valueSpoken(0.6123, 'diode', 'V')).toBe('0.612 volt')
    expect(valueSpoken(-1.5, 'dc-voltage', 'V')).toBe('minus 1.5 volt')
    expect(valueSpoken(1.02e-7, 'capacitance', 'F')).toBe('102 nano farad')
    expect(valueSpoken('overload', 'resistance', 'Ω')).toBe('open')
    expect(valueSpoken('overload', 'dc-voltage', 'V')).toBe('over range')
  })
})

describe('what is said in a run', () => {
  it('names the dial only when it is to be turned', () => {
    const bench = atR1()
    bench.lift('dc-voltage')
    expect(said(bench, 'prompt')).toEqual(['dial to resistance', 'red on J 1 pin 1, black on R 1 pin 2'])
    bench.lift('resistance')
    expect(said(bench, 'prompt')).toEqual(['red on J 1 pin 1, black on R 1 pin 2'])
  })

  it('says pass, then the next prompt', () => {
    const bench = atR1()
    bench.touch('resistance', 221.4)
    expect(said(bench, 'result')).toEqual(['pass'])
    expect(said(bench, 'prompt').at(-1)).toBe('red on R 1 pin 2, black on C 1 pin 2')
  })

  it('says a failing value and asks for one more touch; then fail once for the step', () => {
    const bench = atR1()
    bench.lift('resistance')
    bench.hold('resistance', 4700, 1.6)
    expect(said(bench, 'result')).toEqual(['fail, 4.7 kilo ohm'])
    expect(said(bench, 'prompt')).toEqual(['lift, then touch once more'])
    const first = spokenBy(bench).find(({ kind }) => kind === 'result')?.id
    bench.touch('resistance', 4700)
    expect(said(bench, 'result')).toEqual(['fail, 4.7 kilo ohm'])
    expect(spokenBy(bench).find(({ kind }) => kind === 'result')?.id).not.toBe(first)
  })

  it('asks for the lift while the leads stay on, and no longer', () => {
    const bench = atR1()
    bench.lift('resistance')
    bench.hold('resistance', 4700, 2)
    expect(waitedFor(bench)).toMatchObject({ kind: 'hint', sentences: ['lift'] })
    bench.lift('resistance')
    expect(waitedFor(bench)).not.toMatchObject({ sentences: ['lift'] })
  })

  it('a charged board is a warning, not a hint', () => {
    const bench = atR1()
    bench.lift('resistance')
    bench.hold('resistance', -40, 1)
    expect(waitedFor(bench)).toMatchObject({ kind: 'warning', sentences: ['board is charged, stop'] })
    expect(said(bench, 'prompt')).toEqual(['unplug everything from the board'])
  })

  it('a meter silent once more in the same attempt is said once more, and one that stutters is not', () => {
    const bench = atR1()
    bench.lift('resistance')
    /** Each beginning of the warning as the voice is told it, tick by tick. */
    const told: string[] = []
    const waitAndHear = (forSeconds: number): void => {
      for (let k = 0; k < Math.round(forSeconds * 10); k += 1) {
        bench.wait(0.1)
        const heard = waitedFor(bench)
        if (heard?.kind === 'warning' && !told.includes(heard.id)) told.push(heard.id)
      }
    }
    const attempt = bench.bench().attempt
    waitAndHear(8)
    expect([waitedFor(bench)?.sentences, told.length]).toEqual([['meter silent'], 1])
    // A stutter: one reading, then silent again within 5 s.
    bench.hold('resistance', 'overload', 0.2)
    expect(waitedFor(bench)?.kind).not.toBe('warning')
    waitAndHear(4)
    expect([waitedFor(bench)?.sentences, told.length]).toEqual([['meter silent'], 1])
    // It reads for a while, then falls silent: that is news.
    bench.hold('resistance', 'overload', 6)
    waitAndHear(8)
    expect([waitedFor(bench)?.sentences, told.length, bench.bench().attempt]).toEqual([['meter silent'], 2, attempt])
  })

  it('a voltage left that can injure ends the run with a warning', () => {
    const bench = play()
    bench.confirm()
    bench.lift('dc-voltage')
    bench.hold('dc-voltage', 75, 2)
    bench.lift('dc-voltage')
    bench.hold('dc-voltage', 75, 2)
    expect(said(bench, 'warning')).toEqual(['stop, dangerous voltage on the board'])
    expect(said(bench, 'result').at(-1)).toBe('run ended, incomplete')
  })

  it.each(['extra-low', 'hazardous'])('a voltage left that can injure is a warning at the touch itself, on a board said to be %s', (hazard) => {
    const bench = play(smallBoard({ hazard }))
    const warned = (): Utterance[] => spokenBy(bench).filter(({ kind }) => kind === 'warning')
    bench.confirm()
    if (hazard === 'hazardous') bench.touch('dc-voltage', 1.562)
    expect([bench.step(), warned()]).toEqual(['prepare/store/C1', []])
    bench.lift('dc-voltage')
    // From memory of IEC 61010-1: 60 V DC is the limit for people.
    bench.hold('dc-voltage', 75, 2)
    const [first, ...more] = warned()
    expect([first?.sentences, more]).toEqual([['stop, dangerous voltage on the board'], []])
    // Lifted, it is the same warning: not said twice.
    bench.lift('dc-voltage')
    expect(warned().map(({ id }) => id)).toEqual([first?.id])
    if (hazard === 'extra-low') {
      expect(bench.state().ended?.because).toMatch(/which can injure/)
      return
    }
    // Once it was discharged there is nothing to warn of until it is read again; a voltage that is still there is a warning anew.
    expect(bench.step()).toBe('prepare/discharge/C1')
    bench.confirm()
    expect([bench.step(), warned()]).toEqual(['prepare/again/C1', []])
    bench.wait(31)
    bench.lift('dc-voltage')
    bench.hold('dc-voltage', 75, 2)
    expect(warned().map(({ id, sentences }) => [id === first?.id, ...sentences])).toEqual([[false, 'stop, dangerous voltage on the board']])
  })

  it('what is left below the limit for people is a fail and no warning', () => {
    const bench = play()
    bench.confirm()
    bench.touch('dc-voltage', 12)
    expect([said(bench, 'result'), said(bench, 'warning')]).toEqual([['fail, 12 volt'], []])
  })

  it('a hazardous board is announced before anything is unplugged', () => {
    const bench = play(smallBoard({ hazard: 'hazardous' }))
    expect(said(bench, 'warning')).toEqual(['this board can hold a dangerous voltage'])
  })

  it('says the verdict at the end, and asks for nothing more', () => {
    const bench = atR1()
    bench.touch('resistance', 221.4)
    bench.open('diode')
    expect(said(bench, 'result')).toEqual(['pass', 'run ended, pass'])
    expect(said(bench, 'prompt')).toEqual([])
    expect(waitedFor(bench)).toBeNull()
  })

  it('a prompt is new after a pause, after back, and for each step, and the same while nothing changed', () => {
    const bench = atR1()
    const id = (): string | undefined => spokenBy(bench).find(({ kind }) => kind === 'prompt')?.id
    const first = id()
    bench.lift('resistance')
    expect(id()).toBe(first)
    bench.give({ kind: 'press', press: 'pause', at: seconds(bench.at()) })
    expect(said(bench, 'prompt')).toEqual(['paused'])
    bench.give({ kind: 'press', press: 'resume', at: seconds(bench.at()) })
    expect(id()).not.toBe(first)
  })

  it('says again what stands in the way, then the prompt', () => {
    const bench = atR1()
    bench.lift('dc-voltage')
    const again = sayAgain(spokenBy(bench), waitedFor(bench), 1)
    expect(again?.sentences).toContain('red on J 1 pin 1, black on R 1 pin 2')
    expect(again?.sentences[0]).toBe('turn the dial to resistance')
  })

  it('a new meter is taken through its checks in words that fit', () => {
    const bench = play(smallBoard(), newMeter)
    expect(said(bench, 'prompt')).toEqual(['dial to diode test', 'leads apart, in the air'])
    bench.hold('diode', 'overload', 6)
    expect(waitedFor(bench)).toMatchObject({ kind: 'hint', sentences: ['apart, confirm'] })
  })
})
