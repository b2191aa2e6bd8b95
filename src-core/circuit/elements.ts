/** What every part of a board comes down to for a meter that drives a direct current: two-terminal elements between nets. SI throughout. */

/**
 * One exponential branch of a junction: I(v) = amperes · (exp((v − atVolts) / slopeVolts) − exp(−atVolts / slopeVolts)), zero at v = 0.
 * With atVolts 0 it is Shockley's law, I_s · (exp(v / n·V_T) − 1); with atVolts at a breakdown voltage, `amperes` is the test current there.
 */
export type Exponential = { amperes: number; atVolts: number; slopeVolts: number }

/**
 * A junction's own voltage v is what lies between its ends less seriesOhms · I. `forward` conducts from anode to cathode, `reverse` from cathode
 * to anode (breakdown; null: none within reach of a meter); both may be breakdowns (a two-way suppressor). `leakageSiemens` lies across v.
 */
export type Junction = {
  kind: 'junction'; part: string; anode: string; cathode: string
  forward: Exponential | null; reverse: Exponential | null; seriesOhms: number; leakageSiemens: number
}
export type Resistance = { kind: 'resistance'; part: string; from: string; to: string; ohms: number }
/** Carries no direct current; how long a reading takes to settle, and what a capacitance function sees, come from it. */
export type Capacitance = { kind: 'capacitance'; part: string; from: string; to: string; farads: number }

export type Element = Resistance | Junction | Capacitance
export type Network = { elements: Element[] }
