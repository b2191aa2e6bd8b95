/** What a meter drives into the board in each function. Generic figures until a meter's own are entered. */

/** Open-circuit volts behind ohms, never more than `amperes`; a reading above `ceiling` shows as overload. */
export type MeterSource = { volts: number; ohms: number; amperes: number; plus: 'red' | 'black'; ceiling: number }
export type MeterSources = { resistance: MeterSource; continuity: MeterSource; diode: MeterSource }

/**
 * Common practice, no source: resistance is a ratio with less than a junction's voltage on the tips; a diode test drives about 1 mA
 * from about 3 V and shows up to 2 V; plus is on red.
 */
export const genericSources: MeterSources = {
  resistance: { volts: 0.5, ohms: 10_000, amperes: 0.001, plus: 'red', ceiling: 60e6 },
  continuity: { volts: 0.5, ohms: 1000, amperes: 0.001, plus: 'red', ceiling: 600 },
  diode: { volts: 3, ohms: 2500, amperes: 0.001, plus: 'red', ceiling: 2 },
}
