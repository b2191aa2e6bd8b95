/** What a SCPI session sends next: first who it is and how it was found, then the settings a step needs, then readings. */
import type { Seconds } from '../../quantity/units'
import { scpiNames } from './names'
import { functionKey, quotedText } from './replies'
import {
  autoQuery, continuousQuery, functionQuery, isOn, keyOf, rangeQuery, resolutionQuery, triggerQuery, type Ask, type ScpiSession, type Takes,
} from './session-state'

const set = (command: string, takes: Takes): Ask => ({ kind: 'set', command, takes, restoring: false })

/** Asked once each; null for those that are known. */
const toNote = (state: ScpiSession, queries: readonly string[]): Ask | null => {
  const query = queries.find((each) => state.noted[each] === undefined)
  return query === undefined ? null : { kind: 'note', query }
}

/** `READ?` waits for a trigger that is never sent, or is refused, unless these stand so (SCPI-1999, volume 2, 24; from memory). */
const triggering = (state: ScpiSession): Ask | null => {
  const wanted: [string, string, string, (found: string) => boolean][] = [
    [continuousQuery, ':INIT:CONT', 'OFF', isOn],
    [triggerQuery, ':TRIG:SOUR', 'IMM', (found) => !/^IMM(EDIATE)?$/i.test(found)],
  ]
  for (const [query, header, value, differs] of wanted) {
    const command = `${header} ${value}`
    const found = state.others[query] ?? state.noted[query]
    if (typeof found === 'string' && differs(found) && !state.refused.includes(command)) return set(command, { query, now: value })
  }
  return null
}

const functionCommand = (key: string): string => `:SENS:FUNC "${key}"`

const turning = (state: ScpiSession, key: string): Ask | null => {
  const command = functionCommand(key)
  return state.now === key || state.refused.includes(command) ? null : set(command, { function: key })
}

/** The first range setting that the meter knows and has not refused: as asked for, its own choice, the least that holds what is expected. */
const ranging = (state: ScpiSession, key: string): Ask | null => {
  const { wanted } = state
  if (wanted === null) return null
  const fixed = (range: number | null): [string, string][] =>
    range === null || state.noted[rangeQuery(key)] === null ? [] : [[`:SENS:${key}:RANG ${range}`, String(range)]]
  const auto: [string, string][] = state.noted[autoQuery(key)] === null ? [] : [[`:SENS:${key}:RANG:AUTO ON`, 'auto']]
  const choices = [...(wanted.range === 'auto' ? [] : fixed(wanted.range)), ...auto, ...fixed(wanted.about)]
  const first = choices.find(([command]) => !state.refused.includes(command))
  return first === undefined || state.ranges[key] === first[1] ? null : set(first[0], { rangeOf: key, mark: first[1] })
}

const back = (command: string, takes: Takes): Ask => ({ kind: 'set', command, takes, restoring: true })

/** What stands otherwise than it was found: ranges first, then the function, then how it was triggered. */
const restoring = (state: ScpiSession): Ask | null => {
  const asks: Ask[] = Object.entries(state.ranges).flatMap(([key, mark]) => {
    const [auto, range] = [state.noted[autoQuery(key)], state.noted[rangeQuery(key)]]
    if (isOn(auto)) return mark === 'auto' ? [] : [back(`:SENS:${key}:RANG:AUTO ON`, { rangeOf: key, mark: 'auto' })]
    return typeof range !== 'string' || mark === range ? [] : [back(`:SENS:${key}:RANG ${range}`, { rangeOf: key, mark: range })]
  })
  const found = state.noted[functionQuery]
  if (typeof found === 'string' && state.now !== null) {
    const name = quotedText(found) ?? found
    const key = functionKey(found) ?? name
    if (state.now !== key) asks.push(back(functionCommand(name), { function: key }))
  }
  const [source, continuous] = [state.noted[triggerQuery], state.noted[continuousQuery]]
  if (typeof source === 'string' && state.others[triggerQuery] !== undefined) asks.push(back(`:TRIG:SOUR ${source}`, { query: triggerQuery, now: '' }))
  if (isOn(continuous) && state.others[continuousQuery] !== undefined) asks.push(back(':INIT:CONT ON', { query: continuousQuery, now: '' }))
  return asks.find((ask) => ask.kind === 'set' && !state.refused.includes(ask.command) && !(('query' in ask.takes) && state.others[ask.takes.query] === '')) ?? null
}

const besides = ({ noted }: ScpiSession, key: string) => ({
  range: typeof noted[rangeQuery(key)] === 'string', resolution: typeof noted[resolutionQuery(key)] === 'string', temperature: scpiNames[key] === 'temperature',
})

const rounding = 1e-9

/** Seconds at which the next reading is due. */
export const readDueAt = ({ readAt, framing }: ScpiSession): number => (readAt === null ? 0 : readAt + framing.everySeconds)

/** Seconds between two questions who it is, where the answer was not the right one. */
export const doubtfulEvery = 1

/** Null: nothing to send at this moment. */
export const nextAsk = (state: ScpiSession, at: Seconds): Ask | null => {
  if (state.leaving === 'left') return null
  if (!state.proven) return state.doubtful && at < (state.readAt ?? 0) + doubtfulEvery - rounding ? null : { kind: 'identify' }
  if (state.errors !== null) return { kind: 'errors' }
  if (state.leaving === 'restoring') return restoring(state)
  const standing = toNote(state, [functionQuery, triggerQuery, continuousQuery]) ?? triggering(state)
  if (standing !== null) return standing
  const key = state.wanted === null ? null : keyOf(state.description, state.wanted.function)
  const turn = key === null ? null : turning(state, key)
  if (turn !== null) return turn
  const { now } = state
  // Without a function that is known there is nothing to ask beside the value; reading on shows what the meter is turned to.
  if (now !== null) {
    const noting = toNote(state, [autoQuery(now), rangeQuery(now), resolutionQuery(now)])
    if (noting !== null) return noting
    const range = key === now ? ranging(state, now) : null
    if (range !== null) return range
  }
  if (at < readDueAt(state) - rounding) return null
  return { kind: 'read', key: now ?? '', beside: now === null ? { range: false, resolution: false, temperature: false } : besides(state, now) }
}

const besideText = (key: string, beside: { range: boolean; resolution: boolean; temperature: boolean }): string =>
  (beside.range ? `;${rangeQuery(key)}` : '') + (beside.resolution ? `;${resolutionQuery(key)}` : '') + (beside.temperature ? ';:UNIT:TEMP?' : '')

/**
 * The messages of an ask. The number goes into the event status enable register and is asked back in the same message, so that the one
 * response message that answers it begins with it (IEEE 488.2-1992, 6.4.3, 10.10, 10.11: from memory). `READ?` begins a new measurement,
 * and the function is asked before and after it: a value is never older than its question, and the answer itself says of which function it is.
 */
export const messagesOf = (ask: Ask, tag: number): string[] => {
  const numbered = (query: string): string => `*ESE ${tag};*ESE?;${query}`
  switch (ask.kind) {
    case 'identify': return [`*ESE?;*ESE ${tag};*ESE?;*IDN?`]
    case 'errors': return [numbered(':SYST:ERR?')]
    case 'note': return [numbered(ask.query)]
    case 'set': return [ask.command, numbered(':SYST:ERR?')]
    case 'read': return [numbered(`${functionQuery};:READ?;${functionQuery}${besideText(ask.key, ask.beside)}`)]
  }
}
