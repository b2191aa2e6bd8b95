/** The charts of what the shop has learnt: values in their order, their distribution, the share that passed month by month, which parts were at fault. */
import { type MeterFunction, unitOf } from '../../meter/reading'
import { inWords } from '../../quantity/engineering'
import type { IndividualsChart } from '../individuals-chart'
import type { LearntView } from '../learnt-view'
import { type Chart, round, scaleOf, type Shape } from './chart'

const width = 680
const edge = { left: 92, right: 664, top: 62, bottom: 306 }
const height = 344

const words = (value: number, what: MeterFunction): string => inWords(Number(value.toPrecision(4)), unitOf[what], null)
const percent = (share: number): string => `${Math.round(100 * share)} %`
const text = (x: number, y: number, said: string, anchor: 'start' | 'middle' | 'end', is: 'words' | 'small' = 'small'): Shape => ({ kind: 'text', is, x: round(x), y: round(y), words: said, anchor })
const line = (is: Shape['is'], x: number, y: number, toX: number, toY: number): Shape => ({ kind: 'line', is, x: round(x), y: round(y), toX: round(toX), toY: round(toY) })
const day = (utc: string): string => utc.slice(0, 10)

const frame = (title: string): Shape[] => [text(edge.left, 22, title, 'start', 'words'), line('axis', edge.left, edge.top, edge.left, edge.bottom), line('axis', edge.left, edge.bottom, edge.right, edge.bottom)]

export type ChartValue = { utc: string; value: number; meter: string; passed: boolean }
export type StepFacts = { title: string; function: MeterFunction; low: number | null; high: number | null }

/** Beyond what is shown, as a share of its span; and a limit further off than so many spans is named, not drawn: it would flatten all else. */
const [beyond, furthest] = [0.15, 1.5]

type Range = { least: number; most: number; outside: string }

/** Of the good values with what else belongs beside them, and the limits that lie near. @param values at least one. */
const rangeOf = (values: readonly ChartValue[], { low, high, function: what }: StepFacts, beside: readonly number[] = []): Range => {
  const good = values.filter(({ passed }) => passed).map(({ value }) => value)
  const own = [...(good.length > 0 ? good : values.map(({ value }) => value)), ...beside]
  const [from, to] = [own.reduce((a, b) => Math.min(a, b), Infinity), own.reduce((a, b) => Math.max(a, b), -Infinity)]
  const span = to - from || Math.abs(to) * 0.02 || 1
  const isNear = (limit: number): boolean => limit >= from - furthest * span && limit <= to + furthest * span
  const limits = [low, high].filter((limit) => limit !== null)
  const [least, most] = [Math.min(from, ...limits.filter(isNear)), Math.max(to, ...limits.filter(isNear))]
  const far = limits.filter((limit) => !isNear(limit)).map((limit) => words(limit, what))
  return {
    least: least - beyond * Math.max(span, most - least), most: most + beyond * Math.max(span, most - least),
    outside: far.length === 0 ? '' : `${far.length === 1 ? 'a limit lies' : 'the limits lie'} further off, at ${far.join(' and ')}`,
  }
}

const within = (y: number): number => Math.min(edge.bottom, Math.max(edge.top, y))

/** Meters change where a line stands, with the name of the one that comes. */
const meterChanges = (values: readonly ChartValue[], xOf: (at: number) => number): Shape[] => {
  const changes = values.flatMap(({ meter }, at) => (meter === values[at - 1]?.meter ? [] : [{ meter, at }]))
  return changes.length > 12 ? [text(edge.right, edge.top - 6, `${new Set(values.map(({ meter }) => meter)).size} meters in turn`, 'end')]
    : changes.flatMap(({ meter, at }) => [...(at === 0 ? [] : [line('grid', xOf(at), edge.top, xOf(at), edge.bottom)]), text(xOf(at) + 4, edge.top - 8, meter.slice(0, 24), 'start')])
}

/** Values in the order they were taken. @param values at least one. @param control null: too few. */
export const valuesChart = (facts: StepFacts, values: readonly ChartValue[], control: IndividualsChart | null): Chart => {
  const { low, high, function: what } = facts
  const { least, most, outside } = rangeOf(values, facts, control === null ? [] : [control.low, control.high])
  const y = scaleOf(least, most, edge.bottom, edge.top)
  const xOf = (at: number): number => (values.length < 2 ? (edge.left + edge.right) / 2 : edge.left + 10 + at * (edge.right - edge.left - 20) / (values.length - 1))
  const across = (is: Shape['is'], value: number, said: string): Shape[] => {
    const at = y.at(value)
    return at < edge.top || at > edge.bottom ? [] : [line(is, edge.left, at, edge.right, at), text(edge.right - 4, at - 5, said, 'end')]
  }
  let good = -1
  const marks = values.map(({ value, utc, meter, passed }, at): Shape => {
    if (passed) good += 1
    const place = { x: round(xOf(at)), y: within(y.at(value)), title: `${words(value, what)}, ${day(utc)}, ${meter}` }
    return passed && control?.signals[good] == null ? { kind: 'dot', is: 'value', ...place } : { kind: 'cross', is: 'outside', ...place }
  })
  const [first, last] = [values[0], values.at(-1)]
  const signals = control?.signals.filter((signal) => signal !== null).length ?? 0
  return {
    width, height, title: `${facts.title}: values in the order they were taken`,
    says: `${values.length} values. ${control === null ? 'Too few for control limits.' : `Centre ${words(control.centre, what)}, usual from ${words(control.low, what)} to ${words(control.high, what)}; ${signals} stand out.`} Crosses are values of runs that did not pass, or that stand out.`,
    shapes: [
      ...frame(`${facts.title}: values in the order they were taken`), ...y.ticks.flatMap((tick) => [line('grid', edge.left, y.at(tick), edge.right, y.at(tick)), text(edge.left - 8, y.at(tick) + 5, words(tick, what), 'end')]),
      ...meterChanges(values, xOf), ...(low === null ? [] : across('limit', low, 'lower limit')), ...(high === null ? [] : across('limit', high, 'upper limit')),
      ...(control === null ? [] : [...across('control', control.low, ''), ...across('mean', control.centre, 'mean'), ...across('control', control.high, '')]), ...marks,
      ...(first === undefined ? [] : [text(edge.left, edge.bottom + 24, day(first.utc), 'start')]), ...(last === undefined || last === first ? [] : [text(edge.right, edge.bottom + 24, day(last.utc), 'end')]),
      ...(outside === '' ? [] : [text((edge.left + edge.right) / 2, edge.bottom + 24, outside, 'middle')]),
    ],
  }
}

const bins = 24

/** How often each value came, of runs that passed. @param values at least one of a run that passed. */
export const distributionChart = (facts: StepFacts, values: readonly ChartValue[]): Chart => {
  const { low, high, function: what } = facts
  const good = values.filter(({ passed }) => passed)
  const { least, most, outside } = rangeOf(good, facts)
  const x = scaleOf(least, most, edge.left, edge.right, 4)
  const counts = Array.from({ length: bins }, () => 0)
  for (const { value } of good) {
    const bin = Math.min(bins - 1, Math.max(0, Math.floor((value - least) / (most - least) * bins)))
    counts[bin] = (counts[bin] ?? 0) + 1
  }
  const tallest = counts.reduce((a, b) => Math.max(a, b), 1)
  const y = scaleOf(0, tallest, edge.bottom, edge.top, 4)
  const binWidth = (edge.right - edge.left) / bins
  const limit = (value: number, said: string): Shape[] => (value < least || value > most ? [] : [line('limit', x.at(value), edge.top, x.at(value), edge.bottom), text(x.at(value), edge.top - 6, said, 'middle')])
  return {
    width, height, title: `${facts.title}: how often each value came`, says: `${good.length} values of runs that passed, in ${bins} classes; the fullest holds ${tallest}.`,
    shapes: [
      ...frame(`${facts.title}: how often each value came`), ...y.ticks.filter(Number.isInteger).map((tick) => text(edge.left - 8, y.at(tick) + 5, `${tick}`, 'end')),
      ...x.ticks.map((tick) => text(x.at(tick), edge.bottom + 24, words(tick, what), 'middle')),
      ...counts.flatMap((count, at): Shape[] => (count === 0 ? [] : [{
        kind: 'box', is: 'bar', x: round(edge.left + at * binWidth + 1), y: y.at(count), width: round(binWidth - 2), height: round(edge.bottom - y.at(count)),
        title: `${count} from ${words(least + at * (most - least) / bins, what)} to ${words(least + (at + 1) * (most - least) / bins, what)}`,
      }])),
      ...(low === null ? [] : limit(low, 'lower limit')), ...(high === null ? [] : limit(high, 'upper limit')),
      ...(outside === '' ? [] : [text(edge.right, edge.top - 8, outside, 'end')]),
    ],
  }
}

/** The share of boards that passed in each month, with what it may truly be. */
export const yieldChart = ({ months, name, revision }: Pick<LearntView, 'months' | 'name' | 'revision'>): Chart => {
  const shown = months.slice(-36)
  const y = scaleOf(0, 1, edge.bottom, edge.top, 4)
  const step = (edge.right - edge.left) / Math.max(1, shown.length)
  const every = Math.ceil(shown.length / 6)
  return {
    width, height, title: `${name} ${revision}: share that passed, month by month`,
    says: shown.map(({ month, passed: { count, of } }) => `${month}: ${count} of ${of}`).join('; ') || 'No month yet.',
    shapes: [
      ...frame(`${name} ${revision}: share that passed, month by month`), ...[0, 0.25, 0.5, 0.75, 1].flatMap((tick) => [line('grid', edge.left, y.at(tick), edge.right, y.at(tick)), text(edge.left - 8, y.at(tick) + 5, percent(tick), 'end')]),
      ...shown.flatMap(({ month, passed: { count, of, low, high } }, at): Shape[] => {
        const x = round(edge.left + (at + 0.5) * step)
        return [
          line('interval', x, y.at(low), x, y.at(high)), { kind: 'dot', is: 'value', x, y: y.at(of === 0 ? 0 : count / of), title: `${month}: ${count} of ${of} passed, 95 % from ${percent(low)} to ${percent(high)}` },
          ...(at % every === 0 ? [text(x, edge.bottom + 24, month, 'middle')] : []),
        ]
      }),
    ],
  }
}

const mostParts = 12
const rowHeight = 26

/** How often each part was the fault, of the boards that failed. */
export const partsChart = ({ parts, name, revision }: Pick<LearntView, 'parts' | 'name' | 'revision'>): Chart => {
  const shown = parts.slice(0, mostParts)
  const greatest = shown.reduce((most, { share }) => Math.max(most, share.high), 0.05)
  const x = scaleOf(0, greatest, edge.left, edge.right - 60, 5)
  const top = 40
  const bottom = top + shown.length * rowHeight + 6
  return {
    width, height: bottom + 44, title: `${name} ${revision}: parts at fault`,
    says: shown.map(({ ref, share: { count, of } }) => `${ref}: ${count} of ${of}`).join('; ') || 'No part was found faulty yet.',
    shapes: [
      text(edge.left, 22, `${name} ${revision}: parts at fault, of the boards that failed`, 'start', 'words'), line('axis', edge.left, top, edge.left, bottom),
      ...x.ticks.flatMap((tick) => [line('grid', x.at(tick), top, x.at(tick), bottom), text(x.at(tick), bottom + 20, percent(tick), 'middle')]),
      ...shown.flatMap(({ ref, share: { count, of, low, high } }, at): Shape[] => {
        const y = top + at * rowHeight + 4
        const share = of === 0 ? 0 : count / of
        return [
          text(edge.left - 8, y + 15, ref, 'end', 'words'), { kind: 'box', is: 'bar', x: edge.left, y, width: round(x.at(share) - edge.left), height: 16, title: `${ref}: ${count} of ${of}` },
          line('interval', x.at(low), y + 8, x.at(high), y + 8), text(x.at(high) + 8, y + 14, `${count}`, 'start'),
        ]
      }),
    ],
  }
}
