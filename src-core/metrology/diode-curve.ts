/** The known diode as a voltmeter for the tips: its curve from two points of the diode test, and where it meets what another function shows. */
import type { DrivenPoint } from './source-line'

/** I = amperes · exp((V − volts) / slope): Shockley's law well above its saturation current; `slope` is n·V_T. */
export type DiodeCurve = { volts: number; amperes: number; slope: number }

/** n from 1 to 2.2 at 25 °C: outside it is no silicon junction (common practice, no source). */
const slopes = { least: 0.022, most: 0.06 }

/** Null where the two points lie too close, or are not of a junction. */
export const curveThrough = (high: DrivenPoint, low: DrivenPoint): DiodeCurve | null => {
  if (!(low.amperes > 0 && high.amperes > 2 * low.amperes && high.volts > low.volts)) return null
  const slope = (high.volts - low.volts) / Math.log(high.amperes / low.amperes)
  return slope < slopes.least || slope > slopes.most ? null : { volts: high.volts, amperes: high.amperes, slope }
}

export const diodeCurrent = ({ volts, amperes, slope }: DiodeCurve, at: number): number => amperes * Math.exp((at - volts) / slope)
export const diodeVolts = ({ volts, amperes, slope }: DiodeCurve, at: number): number => volts + slope * Math.log(at / amperes)

const halvings = 80

/** Where `over` turns from below zero to above, between two currents. */
const crossing = (over: (amperes: number) => number, from: number, to: number): number | null => {
  let [low, high] = [Math.log(from), Math.log(to)]
  if (over(from) > 0 || over(to) < 0) return null
  for (let k = 0; k < halvings; k += 1) {
    const middle = (low + high) / 2
    if (over(Math.exp(middle)) > 0) high = middle
    else low = middle
  }
  return Math.exp((low + high) / 2)
}

/** How far the curve is trusted below its points: two decades and a half. */
const furthest = 300
const nearest = 3

/** Volts and amperes at the tips where a meter shows `ohms` for the diode in series with `series` Ω. Null: off the curve. */
export const shownInSeries = (curve: DiodeCurve, ohms: number, series: number): DrivenPoint | null => {
  const own = ohms - series
  if (own <= 0) return null
  const amperes = crossing((i) => i * own - diodeVolts(curve, i), curve.amperes / furthest, curve.amperes * nearest)
  return amperes === null ? null : { amperes, volts: amperes * ohms }
}
