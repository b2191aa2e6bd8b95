/** Asks for a meter that only answers: sends the descriptions' own questions, at their settings first. Only after the technician agreed. */
import type { Seconds } from '../../quantity/units'
import type { MeterDescription, PortSettings } from '../description'
import { latin1 } from '../line-bytes'
import { confidenceOf, type Candidate, type Recognised } from './confidence'
import { openJudge, type Judge } from './judge'
import { formatOf, formatWords } from './line-format'
import { asRecognised, foundWords, ranked, withinSeconds, type RecogniseOutcome } from './outcome'
import { speedsFor } from './places'
import type { Search, Step } from './search'
import { speaksByItself } from './listening'

const bytesOf = (hex: string): Uint8Array => Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16))

/** IEEE 488.2, 10.14 (from memory): the identification query. */
const identify = '*IDN?'

export const questionOf = ({ framing }: MeterDescription): Uint8Array | null =>
  framing.kind === 'scpi' ? Uint8Array.from([...identify].map((each) => each.charCodeAt(0)).concat([...bytesOf(framing.delimiter)]))
    : framing.poll === undefined ? null : bytesOf(framing.poll.send)

/** The words before any byte is sent to a port that nobody knows; null where there is nothing to send. */
export const askWords = (descriptions: readonly MeterDescription[]): string | null => {
  const asked = descriptions.filter((each) => !speaksByItself(each))
  if (asked.length === 0) return null
  const names = asked.map(({ name }) => `“${name}”`).join(', ')
  return `Some meters only answer when they are asked. Ask it? The questions of ${names} would be sent, at several speeds. `
    + 'What hangs on this port may be a supply or a controller, and could act on them: ask only if you know that it is a meter.'
}

/** IEEE 488.2, 10.14.3 (from memory): maker, model, serial number and firmware level, with commas between, in ASCII. */
const isIdentity = (text: string): boolean => /^[\x20-\x7e]+$/.test(text) && /^[^,]+,[^,]+,[^,]*,[^,]*$/.test(text.trim())

type Asking = { port: PortSettings; send: Uint8Array; descriptions: MeterDescription[] }

/** Our choices, s. */
const mostPatience = 0.6
/** At other settings than a description's own. */
const lessPatience = 0.35
const longestAnswer = 1.5
const quiet = 0.06
/** Bytes of an answer that must have begun within the patience. */
const answerBytes = 8
const enough = 3
const mostTries = 5

const key = ({ port, send }: Omit<Asking, 'descriptions'>): string => `${JSON.stringify(port)} ${send.join(' ')}`

/** Each description's own settings first, then each speed with all their line formats. */
const askingsFor = (descriptions: readonly MeterDescription[]): Asking[] => {
  const askings = new Map<string, Asking>()
  const add = (description: MeterDescription, baud: number): void => {
    const send = questionOf(description)
    if (send === null) return
    const { dtr, rts } = description.port
    const port = { baud, ...formatOf(description.port), ...(dtr === undefined ? {} : { dtr }), ...(rts === undefined ? {} : { rts }) }
    const known = askings.get(key({ port, send }))
    if (known === undefined) askings.set(key({ port, send }), { port, send, descriptions: [description] })
    else if (!known.descriptions.includes(description)) known.descriptions.push(description)
  }
  for (const description of descriptions) add(description, description.port.baud)
  for (const baud of speedsFor(descriptions)) for (const description of descriptions) add(description, baud)
  return [...askings.values()]
}

type Now = { asking: Asking; since: Seconds | null; tries: number; last: Seconds | null; judges: Judge[]; heard: number[]; answered: number }

const characters = (count: number, baud: number): number => (count * 11) / baud

const patienceFor = ({ port: { baud }, send, descriptions }: Asking): number => {
  const longest = Math.max(...descriptions.map(({ framing }) =>
    (framing.kind === 'scpi' ? framing.timeoutSeconds : framing.poll?.timeoutSeconds ?? 0)))
  const own = descriptions.some(({ port }) => port.baud === baud)
  return Math.min(own ? mostPatience : lessPatience, longest) + characters(send.length + answerBytes, baud)
}

const answersOf = (judges: readonly Judge[]): number => judges.reduce((most, { score }) => Math.max(most, score().readings), 0)

export const openAsking = (all: readonly MeterDescription[], start: Seconds): Search => {
  const descriptions = all.filter((each) => questionOf(each) !== null)
  const askings = askingsFor(descriptions)
  const found: Candidate[] = []
  const proven: Recognised[] = []
  let at = 0
  let questions = 0
  let bytes = 0

  const begin = (asking: Asking): Now => ({
    asking, since: null, tries: 0, last: null, heard: [], answered: 0,
    judges: asking.descriptions.filter(({ framing }) => framing.kind !== 'scpi').map((description) => openJudge(description, formatOf(asking.port), formatOf(asking.port))),
  })
  const stepFor = ({ asking: { port, send } }: Now): Step => ({
    kind: 'port', port, send, words: `Asking at ${port.baud} baud, ${formatWords(port)}`,
  })
  const over = (when: Seconds): Step => {
    const lasted = when - start
    const all = [...proven, ...ranked(found).map((each) => asRecognised(each))]
    const settings = new Set(askings.slice(0, at + 1).map(({ port }) => JSON.stringify(port))).size
    const silent = bytes === 0 ? 'Nothing answered.' : `${bytes} bytes came back, but they are no answer that a description knows.`
    const outcome: RecogniseOutcome = {
      found: all, ask: null, seconds: lasted, heardAt: all[0]?.settings ?? null,
      words: all.length > 0 ? foundWords(all)
        : `No description fits: ${questions} questions were asked, at ${settings} port settings. ${silent} Is the meter on? Teach the app this meter, or write a description.`,
    }
    return { kind: 'over', outcome }
  }

  const [first] = askings
  let now: Now | null = first === undefined ? null : begin(first)
  let step: Step = now === null ? over(start) : stepFor(now)

  /** The settings are done with: what fits is kept, else the next are tried. */
  const leave = ({ asking, judges, heard }: Now, when: Seconds): void => {
    for (const { description, format, score } of judges) {
      const level = confidenceOf(score())
      if (level !== null) {
        found.push({
          description: description.name, settings: { ...asking.port, ...format }, confidence: level, score: score(), own: asking.port.baud === description.port.baud,
        })
      }
    }
    for (const { name, framing } of asking.descriptions) {
      if (framing.kind !== 'scpi') continue
      const [line = '', ...rest] = latin1(Uint8Array.from(heard)).split(latin1(bytesOf(framing.delimiter)))
      const text = line.replace(/\r$/, '')
      if (rest.length === 0 || !isIdentity(text)) continue
      proven.push({
        description: name, settings: asking.port, confidence: 'sure', readings: 0, rejects: 0, share: 1, sample: null,
        words: `“${name}” at ${asking.port.baud} baud, ${formatWords(asking.port)}: it says what it is, sure`, sampleWords: text,
      })
    }
    const next = askings[at + 1]
    if (found.length + proven.length > 0 || next === undefined || when - start >= withinSeconds) {
      now = null
      step = over(when)
      return
    }
    at += 1
    now = begin(next)
    step = stepFor(now)
  }

  return {
    began: (when) => {
      if (now === null) return
      now.since = when
      now.last = null
      now.tries += 1
      questions += 1
    },
    hear: function* (chunk, when) {
      const hearing = now
      if (hearing === null || hearing.since === null || chunk.length === 0) return
      hearing.last = when
      bytes += chunk.length
      hearing.heard.push(...chunk.subarray(0, Math.max(0, 1024 - hearing.heard.length)))
      for (const judge of hearing.judges) {
        judge.hear(chunk.subarray(0, 256), when)
        yield
      }
    },
    step: (when) => {
      const asking = now
      if (asking === null || asking.since === null) return step
      const { since, last, judges, tries, asking: { port } } = asking
      const done = last === null && when - start >= withinSeconds
        || (last === null ? when - since >= patienceFor(asking.asking) : when - last >= quiet + characters(3, port.baud) || when - since >= longestAnswer)
      if (!done) return step
      const answers = answersOf(judges)
      // One answer may be chance: it is asked again, while it answers.
      const again = answers > asking.answered && answers < enough && tries < mostTries && when - start < withinSeconds + 0.4
      if (!again) {
        leave(asking, when)
        return step
      }
      asking.answered = answers
      asking.since = null
      step = stepFor(asking)
      return step
    },
  }
}
