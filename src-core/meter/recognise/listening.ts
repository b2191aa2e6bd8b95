/** Listens for a meter that speaks by itself: tries speeds, line formats and control lines until a description explains the bytes. */
import type { Seconds } from '../../quantity/units'
import type { MeterDescription } from '../description'
import { openBursts, type Bursts } from './bursts'
import { confidenceOf, type Candidate } from './confidence'
import { openJudge, type Judge } from './judge'
import { formatOf, formatWords, heardWith, readingsOf, soundsAlike } from './line-format'
import { asRecognised, foundWords, isPrintable, noneWords, ranked, textHeardAt, withinSeconds, type Heard, type RecogniseOutcome } from './outcome'
import { linesFor, ordered, placesFor, samePlace, speedsFor, type Place } from './places'
import type { Search, Step } from './search'
import { speedHints, type SpeedHint, type SpeedHints } from './speed-hint'

/** Our choices, s. A meter sends two to five frames a second (common practice, no source). */
const silentAtLeast = 3
const silentEach = 1.2
const briefly = 0.9
const longer = 1.6
const longest = 2
const whileItFits = 3.5
const withFewBytes = 0.4
const enoughToLeave = 16
const enoughForSpeed = 24
const mostJudged = 4096

export const speaksByItself = ({ framing }: MeterDescription): boolean => framing.kind !== 'scpi' && framing.poll === undefined

type Now = { place: Place; since: Seconds | null; judges: Judge[]; toOpen: (() => Judge)[]; counts: Uint32Array; hints: SpeedHints; total: number; printable: number; bursts: Bursts; likely: boolean }

const fits = ({ score }: Judge): boolean => {
  const { readings, share } = score()
  return readings > 0 && share >= 0.3
}

/** @param ask what to ask the technician if nothing speaks; null where no description is for an asked meter. */
export const openListening = (all: readonly MeterDescription[], ask: string | null, start: Seconds): Search => {
  const descriptions = all.filter(speaksByItself)
  const speeds = speedsFor(descriptions)
  const lines = linesFor(descriptions)
  let lineState = 0
  let pending = placesFor(descriptions)
  const heard: Heard[] = []
  const candidates: Candidate[] = []
  const plausible: Place[] = []
  let anyByte = false
  let period = 0

  /** Opened one by one once there is something to judge: to compile a description takes its time. */
  const toOpenAt = ({ format }: Place): (() => Judge)[] =>
    descriptions.flatMap((description) => readingsOf(formatOf(description.port), format).map((each) => () => openJudge(description, each, format)))
  const at = (place: Place, likely: boolean): Now =>
    ({ place, since: null, judges: [], toOpen: toOpenAt(place), counts: new Uint32Array(256), hints: speedHints(place.baud, speeds), total: 0, printable: 0, bursts: openBursts(place.baud, start), likely })

  const over = (when: Seconds): Step => {
    const lasted = when - start
    const found = ranked(candidates).map((each) => asRecognised(each))
    const nothing = !anyByte
    const outcome: RecogniseOutcome = found.length > 0
      ? { found, words: foundWords(found), ask: null, seconds: lasted, heardAt: found[0]?.settings ?? null }
      : { found, words: noneWords(heard, lasted), ask: nothing ? ask : null, seconds: lasted, heardAt: textHeardAt(heard) }
    return { kind: 'over', outcome }
  }
  const stepFor = ({ place }: Now): Step => ({
    kind: 'port', port: { baud: place.baud, ...place.format, ...lines[lineState] }, send: null,
    words: `Listening at ${place.baud} baud, ${formatWords(place.format)}`,
  })

  const [first] = pending
  pending = pending.slice(1)
  let now: Now | null = first === undefined ? null : at(first, true)
  let step: Step = now === null ? over(start) : stepFor(now)

  const candidatesOf = ({ place, judges }: Now): Candidate[] => judges.flatMap((judge) => {
    const score = judge.score()
    const level = confidenceOf(score)
    const own = soundsAlike(judge.format, formatOf(judge.description.port))
    return level === null ? [] : [{
      description: judge.description.name, confidence: level, score, own, settings: { baud: place.baud, ...judge.format, ...lines[lineState] },
    }]
  })

  /** A meter whose own line format needs a listening of its own may be heard, by chance of its bits, without it. */
  const toConfirm = (best: Candidate): Place | null => {
    const description = descriptions.find(({ name }) => name === best.description)
    if (best.own || description === undefined) return null
    const place = { baud: best.settings.baud, format: heardWith(formatOf(description.port)) }
    return pending.some((each) => samePlace(each, place)) ? place : null
  }

  const hintOf = ({ place, counts, hints, total, bursts }: Now, when: Seconds): SpeedHint =>
    (place.format.dataBits === 8 ? hints(counts, total, bursts.whole(when)) : { kind: 'none' })
  const soundsSlower = (listening: Now, when: Seconds): boolean => listening.total >= enoughForSpeed && hintOf(listening, when).kind === 'slower'

  const goTo = (place: Place, likely: boolean): void => {
    pending = pending.filter((each) => !samePlace(each, place))
    now = at(place, likely)
    step = stepFor(now)
  }

  const leave = (left: Now, when: Seconds): void => {
    const { place, since, total, printable, bursts } = left
    heard.push({ ...place, bytes: total, seconds: Math.max(0.001, when - (since ?? when)), printable: total === 0 ? 0 : printable / total })
    period = Math.max(period, bursts.period())
    candidates.push(...candidatesOf(left))
    const [best] = ranked(candidates)
    if (best !== undefined && best.confidence !== 'perhaps') {
      const confirm = toConfirm(best)
      if (confirm !== null) return goTo(confirm, true)
      now = null
      step = over(when)
      return
    }
    const hint = hintOf(left, when)
    if (hint.kind === 'none' || hint.kind === 'not-slower') plausible.push(place)
    pending = ordered(pending, place.baud, hint)
    // Nothing fitted anywhere: the meter may have paused just then. What speaks against a speed is not tried again.
    if (pending.length === 0 && when - start < withinSeconds) pending = plausible.splice(0)
    const [next] = pending
    if (next !== undefined) return goTo(next, hint.kind === 'slower' || descriptions.some(({ port }) => port.baud === next.baud))
    now = null
    step = over(when)
  }

  /** Silent from the start: the speed does not matter, the control lines may. */
  const whileSilent = (listening: Now, since: Seconds, when: Seconds): void => {
    const more = lineState + 1 < lines.length
    if (more && when - since >= silentEach) {
      lineState += 1
      now = at(listening.place, listening.likely)
      step = stepFor(now)
    } else if (!more && when - since >= silentEach && when - start >= silentAtLeast) {
      heard.push({ ...listening.place, bytes: 0, seconds: when - start, printable: 0 })
      now = null
      step = over(when)
    }
  }

  return {
    began: (when) => {
      if (now === null) return
      now.since = when
      now.bursts = openBursts(now.place.baud, when)
    },
    hear: function* (chunk, when) {
      const hearing = now
      if (hearing === null || hearing.since === null || chunk.length === 0) return
      anyByte = true
      for (const open of hearing.toOpen.splice(0)) {
        hearing.judges.push(open())
        yield
      }
      hearing.bursts.heard(when)
      const judged = chunk.subarray(0, Math.max(0, mostJudged - hearing.total))
      hearing.total += chunk.length
      for (const byte of chunk) {
        hearing.counts[byte] = (hearing.counts[byte] ?? 0) + 1
        if (isPrintable(byte)) hearing.printable += 1
      }
      for (let from = 0; from < judged.length; from += 64) {
        for (const judge of hearing.judges) {
          judge.hear(judged.subarray(from, from + 64), when)
          yield
        }
      }
    },
    step: (when) => {
      const listening = now
      if (listening === null || listening.since === null) return step
      const { since, judges, bursts, total, likely } = listening
      if (when - start >= withinSeconds) {
        pending = []
        leave(listening, when)
        return step
      }
      if (!anyByte) {
        whileSilent(listening, since, when)
        return step
      }
      const lasted = when - since
      if (judges.some(({ score }) => confidenceOf(score()) === 'sure')) leave(listening, when)
      else if (judges.some(fits)) {
        if (lasted >= whileItFits) leave(listening, when)
      } else if (total === 0) {
        if (lasted >= Math.min(longest, Math.max(briefly, 1.3 * period))) leave(listening, when)
      } else if (soundsSlower(listening, when) || bursts.whole(when) >= (likely ? 3 : 2) && (total >= enoughToLeave || lasted >= withFewBytes) || total >= mostJudged || lasted >= (likely ? longer : briefly)) leave(listening, when)
      return step
    },
  }
}

