/** What a meter drives into the board in each function and range, and which range it takes. */
import type { MeterSource, RangeAccuracy } from '../meter/register'

export type DrivenFunction = 'resistance' | 'continuity' | 'diode'
/** Open-circuit volts behind ohms, never more than `amperes` (Infinity: none but what the ohms give); holds readings up to `fullScale`, SI. */
export type DriveRange = { fullScale: number; volts: number; ohms: number; amperes: number }
/** Ranges from the lowest up; a reading above `ceiling` shows as overload. `typical`: generic figures, not this meter's own. */
export type MeterDrive = { ranges: readonly DriveRange[]; plus: 'red' | 'black'; ceiling: number; typical: boolean }
export type MeterDrives = Record<DrivenFunction, MeterDrive>

const typical = (volts: number, ohms: number, amperes: number, ceiling: number): MeterDrive =>
  ({ ranges: [{ fullScale: ceiling, volts, ohms, amperes }], plus: 'red', ceiling, typical: true })

/**
 * Common practice, no source: resistance is a ratio with less than a junction's voltage on the tips; a diode test drives about 1 mA
 * from about 3 V and shows up to 2 V; plus is on red.
 */
export const genericDrives: MeterDrives = {
  resistance: typical(0.5, 10_000, 0.001, 60e6),
  continuity: typical(0.5, 1000, 0.001, 600),
  diode: typical(3, 2500, 0.001, 2),
}

const functions: readonly DrivenFunction[] = ['resistance', 'continuity', 'diode']

const drivesFrom = (of: (what: DrivenFunction, generic: MeterDrive) => MeterDrive | null): MeterDrives => {
  const drive = (what: DrivenFunction): MeterDrive => of(what, genericDrives[what]) ?? genericDrives[what]
  return { resistance: drive('resistance'), continuity: drive('continuity'), diode: drive('diode') }
}

type Entered = Pick<MeterSource, 'volts' | 'ohms' | 'amperes' | 'plus'> & { range?: number | null }

/** A source that drives no volts drives nothing: it tells nothing of this function. */
const driveOf = (entered: readonly Entered[], ceiling: number): MeterDrive | null => {
  const ranges = entered.filter(({ volts }) => volts > 0)
    .map(({ range, volts, ohms, amperes }): DriveRange => ({ fullScale: range ?? ceiling, volts, ohms, amperes: amperes ?? Infinity }))
    .sort((a, b) => a.fullScale - b.fullScale)
  const [first] = entered
  return first === undefined || ranges.length === 0 ? null : { ranges, plus: first.plus, ceiling, typical: false }
}

/** Of a meter in the register: its sources, and its highest listed range as ceiling; what it does not say is generic. */
export const drivesOfRegister = (entry: { sources: readonly MeterSource[]; ranges: readonly RangeAccuracy[] }): MeterDrives =>
  drivesFrom((what, generic) => {
    const own = entry.sources.filter((one) => one.function === what)
    const listed = [...entry.ranges.filter((one) => one.function === what).map(({ range }) => range),
      ...own.flatMap(({ range }) => (range === null ? [] : [range]))]
    return driveOf(own, listed.length > 0 ? Math.max(...listed) : generic.ceiling)
  })

/** Of a readings file: one source a function, for any range. */
export const drivesOfReadings = (sources: Partial<Record<string, Entered>> | undefined): MeterDrives =>
  drivesFrom((what, generic) => {
    const own = sources?.[what]
    return own === undefined ? null : driveOf([own], generic.ceiling)
  })

/** The driven functions for which `drives` holds generic figures. */
export const typicalFunctions = (drives: MeterDrives): DrivenFunction[] => functions.filter((what) => drives[what].typical)
