/** A meter's source from what it drives: volts behind ohms, a current limit, or both, through a few points of volts and amperes. */

export type DrivenPoint = { volts: number; amperes: number }

/**
 * `ohmsAtMost`: the source was at its limit up to the highest point, so its resistance is only known to be no more than this.
 * `bound`: what that would be, where there is a limit.
 */
export type SourceLine = { volts: number; ohms: number; amperes: number | null; ohmsAtMost: boolean; bound: number | null }
export type LineFit =
  | { kind: 'source'; line: SourceLine }
  /** A constant current as far as was seen; what voltage stands behind it was not. */
  | { kind: 'limit-only'; amperes: number; upToVolts: number }
  | { kind: 'none'; because: 'too few' | 'no line' | 'too close' }

/** Currents this near to each other are one current: two resistors read in one range agree better (common practice, no source). */
const sameCurrent = 0.012
/** One current at two voltages is a limit only if they are this far apart; else it is one point seen twice. */
const twoVoltages = 1.25
/** A point this far off the line, of its current or of the largest, does not belong to it. */
const offTheLine = 0.04

const mean = (values: readonly number[]): number => values.reduce((sum, each) => sum + each, 0) / values.length

/** Straight line of volts over amperes by least squares: V = volts − ohms · I. */
const through = (points: readonly DrivenPoint[]): { volts: number; ohms: number } | null => {
  const [v, i] = [mean(points.map((p) => p.volts)), mean(points.map((p) => p.amperes))]
  const spread = points.reduce((sum, p) => sum + (p.amperes - i) ** 2, 0)
  if (spread <= 0) return null
  const ohms = -points.reduce((sum, p) => sum + (p.amperes - i) * (p.volts - v), 0) / spread
  return ohms > 0 ? { volts: v + ohms * i, ohms } : null
}

const currentAt = ({ volts, ohms }: { volts: number; ohms: number }, at: number): number => (volts - at) / ohms

/** The same line with no more said of its resistance than the limit tells. */
export const atMost = (line: SourceLine): SourceLine => (line.bound === null ? line : { ...line, ohms: line.bound, ohmsAtMost: true })

/** @param points under load; @param openVolts what the open leads show, null where they overload. */
export const fitLine = (points: readonly DrivenPoint[], openVolts: number | null): LineFit => {
  const byVolts = [...points].sort((a, b) => a.volts - b.volts)
  const [lowest, next] = byVolts
  if (lowest === undefined) return { kind: 'none', because: 'too few' }
  const most = Math.max(...byVolts.map((p) => p.amperes))
  const flat = byVolts.filter((p) => p.amperes >= most * (1 - sameCurrent))
  const highest = Math.max(...flat.map((p) => p.volts))
  const limited = flat.includes(lowest) && highest >= twoVoltages * lowest.volts
  const open = openVolts === null ? [] : [{ volts: openVolts, amperes: 0 }]
  if (limited) {
    const amperes = mean(flat.map((p) => p.amperes))
    const above = [...byVolts.filter((p) => !flat.includes(p)), ...open]
    const [end] = above
    if (end === undefined) return { kind: 'limit-only', amperes, upToVolts: highest }
    // One point beyond the limit: the source ends there, and its resistance is no more than the chord.
    if (above.length === 1) {
      return openVolts === null ? { kind: 'limit-only', amperes, upToVolts: highest }
        : { kind: 'source', line: atMost({ volts: openVolts, ohms: 0, amperes, ohmsAtMost: false, bound: (openVolts - highest) / amperes }) }
    }
    const line = through(above)
    return line === null ? { kind: 'none', because: 'no line' }
      : { kind: 'source', line: { ...line, amperes, ohmsAtMost: false, bound: (line.volts - highest) / amperes } }
  }
  const all = [...byVolts, ...open]
  if (next === undefined && open.length === 0) return { kind: 'none', because: 'too few' }
  if (most - Math.min(...all.map((p) => p.amperes)) < 0.06 * most) return { kind: 'none', because: 'too close' }
  const rest = all.filter((p) => p !== lowest)
  const line = through(all)
  const fits = (of: { volts: number; ohms: number }, which: readonly DrivenPoint[]): boolean => which.every((p) => Math.abs(p.amperes - currentAt(of, p.volts)) <= offTheLine * most)
  if (line !== null && fits(line, all)) return { kind: 'source', line: { ...line, amperes: null, ohmsAtMost: false, bound: null } }
  // The lowest point below the line of the others: there the limit held.
  const upper = rest.length >= 2 ? through(rest) : null
  return upper !== null && fits(upper, rest) && lowest.amperes < currentAt(upper, lowest.volts)
    ? { kind: 'source', line: { ...upper, amperes: lowest.amperes, ohmsAtMost: false, bound: (upper.volts - lowest.volts) / lowest.amperes } } : { kind: 'none', because: 'no line' }
}

/** What the source drives at this voltage. */
export const drivenAt = (line: SourceLine, volts: number): number => Math.min(line.amperes ?? Infinity, currentAt(line, volts))
