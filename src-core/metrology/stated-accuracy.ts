/** What the meter's stated accuracy adds, within its stated conditions and a little beyond them. */
import type { Accuracy } from '../meter/instrument'
import type { MeterFunction } from '../meter/reading'
import { unitOf } from '../meter/reading'
import type { Component } from './component'
import { genericAccuracy } from './uncertainty'

/** Within these the stated accuracy holds. */
export type Conditions = { celsiusFrom: number; celsiusTo: number; months: number }
/** As they were when the value was taken; null: not given. */
export type Surroundings = { celsius: number | null; monthsSinceCalibration: number | null }

/** Per degree outside: a tenth of the stated accuracy, as data sheets of hand-held meters say it (common practice, no source). */
const widerPerDegree = 0.1
/** Further out nobody states anything: no budget is made. Common practice, no source. */
const furthestOutside = 15

const figure = (x: number): string => String(Number(x.toPrecision(3))).replace('-', '\u2212')

type Facts = { function: MeterFunction; shown: number; resolution: number; accuracy: Accuracy | null; conditions: Conditions | null; surroundings: Surroundings }

const ageRemarks = ({ conditions, surroundings: { monthsSinceCalibration: age } }: Facts): string[] => {
  if (conditions === null) return []
  if (age === null) return ['When the meter was calibrated is not known, so its stated accuracy is an assumption.']
  return age > conditions.months ? [`The stated accuracy holds for ${conditions.months} months after calibration; it has been ${Math.floor(age)}. What the meter drifted since is not counted.`] : []
}

/**
 * ± (percent of what the meter showed + counts), anything within it alike (JCGM 100:2008, 4.3.7). Outside the stated temperatures it is
 * widened and says so; too far outside there is no figure to give. Unknown temperature: taken as within, and said.
 */
export const accuracyPart = (facts: Facts): { part: Component; remarks: string[] } | { refused: string } => {
  const { accuracy, conditions, surroundings: { celsius }, shown, resolution } = facts
  const { percent, counts } = accuracy ?? genericAccuracy
  const said = `± (${percent} % + ${counts} counts)`
  const part = (wider: number, from: string): Component => ({
    what: 'accuracy of the meter', kind: 'B', from, sensitivity: 1, degrees: null, unit: unitOf[facts.function],
    spread: { shape: 'rectangular', halfWidth: wider * ((percent / 100) * Math.abs(shown) + counts * resolution) },
  })
  if (accuracy === null) {
    return { part: part(1, `${said}, usual for hand-held meters`), remarks: ['The meter’s accuracy was not entered: a usual one of hand-held meters stands in.'] }
  }
  const remarks = ageRemarks(facts)
  if (conditions === null) return { part: part(1, `${said}, as stated`), remarks: [...remarks, 'Within which conditions the stated accuracy holds was not entered.'] }
  const range = `${figure(conditions.celsiusFrom)} °C to ${figure(conditions.celsiusTo)} °C`
  if (celsius === null) return { part: part(1, `${said}, as stated for ${range}`), remarks: [...remarks, `The temperature was not given; it is taken as ${range}.`] }
  const outside = Math.max(conditions.celsiusFrom - celsius, celsius - conditions.celsiusTo, 0)
  if (outside > furthestOutside) {
    return { refused: `At ${figure(celsius)} °C nothing is known of this meter’s accuracy: it is stated for ${range}. Measure within that, or enter an accuracy that holds here.` }
  }
  if (outside === 0) return { part: part(1, `${said}, as stated for ${range}`), remarks }
  return {
    part: part(1 + widerPerDegree * outside, `${said}, widened by ${figure(100 * widerPerDegree * outside)} % for ${figure(outside)} °C outside ${range}`),
    remarks: [...remarks, `Measured at ${figure(celsius)} °C, outside the stated ${range}: the accuracy was widened by a tenth of itself per degree.`],
  }
}
