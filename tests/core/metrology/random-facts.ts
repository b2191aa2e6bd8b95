/**
 * Random values as they come off a bench, with all that an uncertainty budget asks about them. Scatter is pooled from 20 degrees of
 * freedom up: below that JCGM 101 gives each part a t of variance ν/(ν − 2) where JCGM 100 sums them by G.4, and the two part by more
 * than two digits by their construction. What JCGM 100 promises with few degrees of freedom is tried in coverage.test.ts.
 */
import type { Random } from '../../../fixtures/touches/random'
import type { MeterFunction } from '../../../src-core/meter/reading'
import type { ValueFacts } from '../../../src-core/metrology/value-budget'

const functions: [MeterFunction, ...MeterFunction[]] = ['resistance', 'dc-voltage', 'diode', 'capacitance']

export const randomFacts = (random: Random): ValueFacts => {
  const count = 10 ** Math.round(random.between(-4, 2))
  const shown = Math.round(random.logBetween(200, 20_000)) * count
  const scatter = (degrees: number) => ({ sd: random.logBetween(0.05, 6) * count, degrees: Math.round(degrees), groups: 8 })
  const repeatability = scatter(random.logBetween(20, 400))
  return {
    function: random.pick(functions), value: shown, shown, resolution: count,
    sd: random.chance(0.7) ? repeatability.sd * random.between(0.5, 1.3) : 0, conversions: 3 + Math.floor(random.even() * 8), independent: 1,
    repeatability,
    accuracy: random.chance(0.2) ? null : { percent: random.logBetween(0.01, 1.5), counts: Math.round(random.between(0, 8)) },
    conditions: { celsiusFrom: 18, celsiusTo: 28, months: 12 },
    surroundings: { celsius: random.between(15, 31), monthsSinceCalibration: 5 },
    lead: { ohms: 2 * count, standard: 0.6 * count, degrees: null, takenOff: random.chance(0.5) },
    contact: random.chance(0.6) ? scatter(random.logBetween(20, 60)) : null,
    board: random.chance(0.4) ? [{ what: 'a part in parallel', halfWidth: random.logBetween(1, 100) * count }] : [],
  }
}
