/** The values of one step over all its runs: two charts, what each meter read, and the limits that good boards speak for. */
import type { ComputedLimits } from '../circuit/computed-limits'
import { unitOf } from '../meter/reading'
import { inWords } from '../quantity/engineering'
import { type ChartValue, distributionChart, type StepFacts, valuesChart } from './chart/charts'
import type { StepValues } from './commands'
import { individualsChart } from './individuals-chart'
import type { StepOfMeter } from './learnt-view'
import { limitsFromBoards } from './limits-from-boards'
import type { DigestValue } from './run-digest'
import { summaryOfRunning } from './running-summary'

export type StepValue = DigestValue & { run: string; passed: boolean; serialNumber: string }

/** More marks than a screen has columns show nothing more. */
const mostMarks = 400
/** The latest values make the charts. Our choice: what a step read years ago says little of the boards of today. */
export const mostValues = 1000
/** The latest boards speak for the limits. Our choice: more of them change the factor by under a tenth. */
const mostBoards = 300

/** The latest value of each unit that passed; those without a serial number are units of their own. */
export const oneABoard = (values: readonly StepValue[]): StepValue[] => {
  const latest = new Map(values.filter(({ passed }) => passed).map((value) => [value.serialNumber === '' ? value.run : value.serialNumber, value]))
  return [...latest.values()].slice(-mostBoards)
}

/** What good boards speak for, a sentence or two. @param values in the order they were taken. @param computed what the parts' tolerances say; null: not known. */
export const goodLimitsInWords = (values: readonly StepValue[], computed: ComputedLimits | null): string => {
  const good = oneABoard(values)
  const [first] = values
  const U = good.reduce<number | null>((most, one) => (one.U === null ? most : Math.max(most ?? 0, one.U)), null)
  return first === undefined ? '' : limitsFromBoards({ function: first.function, values: good.map(({ value }) => value ?? 'overload'), U }, computed).says
}

/** Why a chart of these is left out, a sentence; empty: none is. */
const withoutChart = (figures: readonly ChartValue[]): string => (figures.length === 0 ? 'Every value was open or over range.'
  : figures.some(({ passed }) => passed) ? '' : 'No run with a value passed: there is no distribution of good values.')

/** @param values in the order they were taken. @param meters of this step, over all its values. Null where there is no value. */
export const stepValuesOf = (title: string, values: readonly StepValue[], meters: readonly StepOfMeter[], limits: string): StepValues | null => {
  const last = values.at(-1)
  if (last === undefined) return null
  const { step, function: what, low, high } = last
  const facts: StepFacts = { title, function: what, low, high }
  const figures = values.flatMap(({ value, utc, meter, passed }): ChartValue[] => (value === null ? [] : [{ value, utc, meter, passed }]))
  const shown = figures.slice(-mostMarks)
  const figure = (value: number, digits: number): string => inWords(Number(value.toPrecision(digits)), unitOf[what], null)
  return {
    step, title, limits,
    values: shown.length === 0 ? null : valuesChart(facts, shown, individualsChart(shown.filter(({ passed }) => passed).map(({ value }) => value))),
    distribution: figures.some(({ passed }) => passed) ? distributionChart(facts, figures) : null, withoutChart: withoutChart(figures),
    charted: figures.length, marks: shown.length,
    meters: meters.flatMap(({ meter, running }) => {
      const summary = summaryOfRunning(running)
      return summary === null ? [] : [{ meter, count: summary.count, mean: figure(summary.mean, 4), scatter: summary.sd === null ? '' : figure(summary.sd, 2) }]
    }),
  }
}
