/** Which display tells most about what is still unknown, as one plain request with its reason; none once enough was seen. */
import { z } from 'zod'
import { seededRandom } from '../../circuit/seeded-random'
import { dialWords } from '../../run/words'
import { meterFunction, type MeterFunction } from '../reading'
import type { Known } from './common-parts'
import { segmentLetters, shapeSets } from './segment-shapes'
import { digitsOf, largestFirstDigit, type TeachSetup } from './setup'
import { inShownWords, isFigure } from './shown'

export const ask = z.strictObject({
  /** What “It cannot show this” takes off the list. */
  key: z.string().max(40),
  kind: z.enum(['figure', 'function', 'negative', 'overload', 'range']),
  function: meterFunction,
  /** A display that would do; of another range its digits. */
  suggestion: z.string(),
  words: z.string(), because: z.string(),
})
export type Ask = z.infer<typeof ask>

/** What the proposal still lacks. */
export type Lacks = {
  frames: boolean
  /** Why there is no description that reads all displays; null when there is one. */
  because: string | null
  open: number
}

const signed: readonly MeterFunction[] = ['dc-voltage', 'dc-current', 'temperature']
/** Out of range is asked only where open leads show it: nobody is sent to find a thousand volts. */
const openLeads: readonly MeterFunction[] = ['resistance', 'continuity', 'diode']
const oneRange: readonly MeterFunction[] = ['continuity', 'diode', 'temperature']
/** Figures a function of frames must have shown, so that a digit is not taken for its sign of function. */
const figuresEach = 3
const linesAtLeast = 4
/** Of full scale. */
const smallShare = 0.005
const largeShare = 0.98
const tries = 80

export const digitsSeen = (known: readonly Known[]): Set<string> => new Set(known.flatMap(({ read: { figure } }) => (isFigure(figure) ? [...figure.digits] : [])))

const text = (digits: string, decimals: number): string => (decimals === 0 ? digits : `${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`)

/** For each digit its segments and its bits as a binary number: what a frame could hold of it. */
const signalsOf = (digits: string): string[] => [...digits].flatMap((digit) => {
  const shape = shapeSets[0]?.[digit] ?? ''
  const bits = digit === ' ' ? 0 : Number(digit)
  return [...segmentLetters.map((letter) => (shape.includes(letter) ? '1' : '0')), ...[0, 1, 2, 3].map((bit) => String((bits >> bit) & 1))]
})

/** Of some figures the one after which fewest parts of the display look alike in all displays so far. */
const tellingFigure = (known: readonly Known[], { counts }: TeachSetup): string => {
  const width = digitsOf(counts)
  const random = seededRandom(counts + known.length * 7919)
  const before = known.flatMap(({ read: { figure } }) => (isFigure(figure) ? [signalsOf(figure.digits.padStart(width).slice(-width))] : []))
  const seen = digitsSeen(known)
  const columns = signalsOf('0'.repeat(width)).map((_, at) => before.map((signals) => signals[at]).join(''))
  const score = (digits: string): number => {
    const own = signalsOf(digits)
    const apart = new Set(own.map((bit, at) => (columns[at] ?? '') + bit)).size
    return apart + [...new Set(digits)].filter((digit) => !seen.has(digit)).length * 4
  }
  const drawn = Array.from({ length: tries }, () => Array.from({ length: width }, (_, at) => Math.floor(random() * (at === 0 ? largestFirstDigit(counts) + 1 : 10))).join(''))
  return drawn.map((digits) => ({ digits, score: score(digits) })).reduce((best, each) => (each.score > best.score ? each : best), { digits: '1234'.slice(0, width), score: -1 }).digits
}

const figureAsk = (known: readonly Known[], setup: TeachSetup, is: MeterFunction, because: string, negative = false): Ask => {
  const last = known.findLast(({ shown, read }) => shown.function === is && isFigure(read.figure))
  const decimals = last !== undefined && isFigure(last.read.figure) ? last.read.figure.decimals : Math.max(0, digitsOf(setup.counts) - 1)
  const digits = tellingFigure(known, setup)
  const suggestion = `${negative ? '-' : ''}${text(digits, Math.min(decimals, digits.length - 1))}`
  const words = `${dial(known, is)}how a figure such as ${inShownWords({ text: suggestion, mark: '' })}.`
  return { key: negative ? 'negative' : `figure:${is}`, kind: negative ? 'negative' : 'figure', function: is, suggestion, words, because }
}

/** "Turn to resistance and s", or "S" where the dial stands there already. */
const dial = (known: readonly Known[], is: MeterFunction): string => (known.at(-1)?.shown.function === is ? 'S' : `Turn the meter to ${dialWords[is]} and s`)

const missingDigits = (known: readonly Known[]): string[] => ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9'].filter((digit) => !digitsSeen(known).has(digit))
const digitsAfter = (decimals: number): string => (decimals === 0 ? 'no digit' : decimals === 1 ? '1 digit' : `${decimals} digits`)
const list = (words: readonly string[]): string => (words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`)

type Rule = () => Ask | null

/** The rules in the order in which they tell most. `cannot`: keys of asks the meter has no display for. */
export const askNext = (known: readonly Known[], setup: TeachSetup, cannot: readonly string[], lacks: Lacks): Ask | null => {
  const can = (key: string): boolean => !cannot.includes(key)
  const figuresIn = (is: MeterFunction): number => known.filter(({ shown, read }) => shown.function === is && isFigure(read.figure)).length
  const asked = setup.functions.filter((is) => can(`function:${is}`))
  const [main] = asked
  if (main === undefined) return null

  const first: Rule = () => (figuresIn(main) > 0 || !can(`figure:${main}`)
    ? null : { ...figureAsk(known, setup, main, 'Every digit different tells most to begin with.'), key: `function:${main}`, kind: 'function' })
  const digits: Rule = () => {
    if (!lacks.frames || !can(`figure:${main}`)) return null
    const missing = missingDigits(known)
    if (missing.length === 0 && lacks.open === 0 && figuresIn(main) >= figuresEach) return null
    return figureAsk(known, setup, main, missing.length > 0
      ? `No display so far had a ${list(missing)}.`
      : lacks.open > 0 ? `${lacks.open === 1 ? 'One part' : `${lacks.open} parts`} of the display could still be another bit.` : 'Which bits are the figure is not known yet.')
  }
  const negative: Rule = () => {
    const is = asked.find((each) => signed.includes(each))
    if (is === undefined || !can('negative') || known.some(({ read: { figure } }) => isFigure(figure) && figure.negative)) return null
    return figureAsk(known, setup, is, 'A negative figure was not seen yet. Swap the leads.', true)
  }
  const ends: Rule = () => {
    if (!lacks.frames) return null
    const shares = known.flatMap(({ shown, read: { figure } }) => (shown.function === main && isFigure(figure) ? [figure.count / setup.counts] : []))
    const decimals = Math.max(0, digitsOf(setup.counts) - 1)
    const end = (key: string, digits: string, which: string): Ask | null => (!can(key) ? null : {
      key, kind: 'figure', function: main, suggestion: text(digits, decimals), words: `${dial(known, main)}how a figure ${which}, such as ${text(digits, decimals)}.`,
      because: 'If the meter sends a bar as well, its ends are seen only there.',
    })
    if (!shares.some((share) => share <= smallShare)) return end('figure:small', '0'.repeat(digitsOf(setup.counts)), 'of zero, or next to it')
    return shares.some((share) => share >= largeShare) ? null : end('figure:large', String(setup.counts - 1), 'near the end of the range')
  }
  const functions: Rule = () => {
    const is = asked.find((each) => !known.some(({ shown }) => shown.function === each))
    return is === undefined ? null : { ...figureAsk(known, setup, is, 'This function was not seen yet.'), key: `function:${is}`, kind: 'function' }
  }
  const overload: Rule = () => {
    const is = asked.find((each) => openLeads.includes(each) && can(`overload:${each}`) && !known.some(({ shown, read }) => shown.function === each && !isFigure(read.figure)))
    return is === undefined ? null : {
      key: `overload:${is}`, kind: 'overload', function: is, suggestion: 'OL',
      words: `${dial(known, is)}how it out of range: hold the leads apart, and type OL.`, because: 'What it sends when it is out of range is not known in this function.',
    }
  }
  const ranges: Rule = () => {
    const is = asked.find((each) => !oneRange.includes(each) && can(`range:${each}`))
    if (is === undefined) return null
    const seen = [...new Set(known.flatMap(({ shown, read }) => (shown.function === is && isFigure(read.figure) ? [`${digitsAfter(read.figure.decimals)} after the point${shown.mark === '' ? '' : ` in ${shown.mark}`}`] : [])))]
    return {
      key: `range:${is}`, kind: 'range', function: is, suggestion: tellingFigure(known, setup),
      words: `${dial(known, is)}how a figure in another range: the point elsewhere, or another prefix, with digits such as ${tellingFigure(known, setup)}.`,
      because: seen.length === 0 ? 'None was seen in this function yet.' : `Seen so far: ${list(seen)}. When there is no other, say so.`,
    }
  }
  const again: Rule = () => {
    const is = asked.find((each) => can(`figure:${each}`) && figuresIn(each) < (lacks.frames ? figuresEach : 1))
    return is === undefined ? null : figureAsk(known, setup, is, 'A few figures in each function show which bits go with it.')
  }
  const rest: Rule = () => {
    if (lacks.because === null && (lacks.frames || known.length >= linesAtLeast || !can(`figure:${main}`))) return null
    const is = asked.find((each) => can(`figure:${each}`))
    return is === undefined ? null : figureAsk(known, setup, is, lacks.because ?? 'A few more figures make sure of the layout.')
  }
  for (const rule of [first, negative, functions, ranges, overload, ends, digits, again, rest]) {
    const found = rule()
    if (found !== null) return found
  }
  return null
}

/** What was never seen and will be rejects: a description may be kept without it. */
export const leftOut = (known: readonly Known[], setup: TeachSetup, lacks: Lacks): string[] => {
  const missing = lacks.frames ? missingDigits(known) : []
  const never = setup.functions.filter((is) => !known.some(({ shown }) => shown.function === is))
  const noOverload = setup.functions.filter((is) => openLeads.includes(is) && !never.includes(is) && !known.some(({ shown, read }) => shown.function === is && !isFigure(read.figure)))
  const canBeNegative = setup.functions.some((is) => signed.includes(is) && !never.includes(is))
  return [
    ...never.map((is) => `${dialWords[is]} was never seen: it will be rejects.`),
    ...(missing.length === 0 ? [] : [`Figures with ${list(missing)} were never seen: they will be rejects.`]),
    ...(!canBeNegative || known.some(({ read: { figure } }) => isFigure(figure) && figure.negative) ? [] : ['Negative figures were never seen: they will be rejects.']),
    ...noOverload.map((is) => `Out of range in ${dialWords[is]} was never seen: it will be rejects.`),
    ...(known.some(({ shown }) => shown.flags.length > 0) ? [] : ['No annunciator (hold, relative …) was ever typed: with one on, the meter may be rejects.']),
  ]
}
