/** Holds a substitute against the part it stands in for: value, tolerance, ratings, speed, package, and what nobody knows of them. */
import type { Part } from '../board/part'
import { engineering } from '../quantity/engineering'
import type { UnitSymbol } from '../meter/reading'
import type { JudgedProperty, PartFigures } from './entry'

type What = JudgedProperty['what']
type Judged = Omit<JudgedProperty, 'what'>

/** Of the value of a part of this kind; null: it has none that is compared. */
export const unitOfValue = ({ kind }: Pick<Part, 'kind'>): UnitSymbol | null => {
  switch (kind) {
    case 'resistor': case 'ntc': case 'ptc': case 'fuse': case 'ferrite-bead': case 'ic': return 'Ω'
    case 'capacitor': return 'F'
    case 'coil': case 'choke': case 'transformer': return 'H'
    case 'zener': case 'tvs': case 'two-way-protector': case 'varistor': case 'gas-tube': case 'thyristor-protector': case 'led': return 'V'
    default: return null
  }
}

const percent = (share: number): string => `${Number((share * 100).toPrecision(2))} %`
const shown = (value: number, unit: UnitSymbol | 'W' | 's'): string => {
  const { figure, prefix } = engineering(Number(value.toPrecision(3)), null)
  return `${figure} ${prefix}${unit}`
}
const unknown = (name: string, ofWhich: 'the original' | 'the substitute'): Judged => ({ is: 'unknown', words: `${name}: not known of ${ofWhich}` })

const valueOf = (part: Part, figures: PartFigures): Judged | null => {
  const unit = unitOfValue(part)
  if (unit === null) return null
  if (part.value === undefined) return unknown('value', 'the original')
  if (figures.value === undefined) return unknown('value', 'the substitute')
  const off = Math.abs(figures.value / part.value - 1)
  const both = `${shown(figures.value, unit)} for ${shown(part.value, unit)}`
  return off < 1e-6 ? { is: 'as-good', words: `value: ${both}` } : { is: 'unlike', words: `value: ${both}, ${percent(off)} off` }
}

const toleranceOf = (part: Part, { tolerance }: PartFigures): Judged | null => {
  if (unitOfValue(part) === null) return null
  if (part.tolerance === undefined) return unknown('tolerance', 'the original')
  if (tolerance === undefined) return unknown('tolerance', 'the substitute')
  const both = `tolerance: ± ${percent(tolerance)} for ± ${percent(part.tolerance)}`
  return tolerance <= part.tolerance * (1 + 1e-9) ? { is: 'as-good', words: both } : { is: 'worse', words: `${both}, looser` }
}

const names = { volts: 'voltage rating', amperes: 'current rating', watts: 'power rating' } as const
const unitOfRating = { volts: 'V', amperes: 'A', watts: 'W' } as const

/** At least as much as the original bears; a fuse exactly as much: a larger one protects nothing, a smaller one blows without cause. */
const ratingOf = (part: Part, figures: PartFigures, which: keyof typeof names): Judged => {
  const [was, is] = [part.ratings?.[which], figures[which]]
  if (was === undefined) return unknown(names[which], 'the original')
  if (is === undefined) return unknown(names[which], 'the substitute')
  const both = `${names[which]}: ${shown(is, unitOfRating[which])} for ${shown(was, unitOfRating[which])}`
  const exact = part.kind === 'fuse' && which === 'amperes'
  if (Math.abs(is / was - 1) < 1e-6) return { is: 'as-good', words: both }
  if (exact) return { is: 'unlike', words: `${both}: ${is > was ? 'a larger fuse protects nothing' : 'a smaller fuse blows without cause'}` }
  return is > was ? { is: 'as-good', words: both } : { is: 'worse', words: `${both}, less than it has to bear` }
}

/** A fuse opens as fast as the one before it; anything else may be faster, not slower. */
const speedOf = (part: Part, { seconds }: PartFigures): Judged => {
  const was = part.ratings?.seconds
  if (was === undefined) return unknown('speed', 'the original')
  if (seconds === undefined) return unknown('speed', 'the substitute')
  const both = `speed: ${shown(seconds, 's')} for ${shown(was, 's')}`
  if (part.kind === 'fuse') return Math.abs(seconds / was - 1) < 0.01 ? { is: 'as-good', words: both } : { is: 'unlike', words: `${both}: a fuse has to open as fast as the one before it` }
  return seconds <= was * (1 + 1e-9) ? { is: 'as-good', words: both } : { is: 'worse', words: `${both}, slower` }
}

const packageOf = (part: Part, figures: PartFigures): Judged => {
  const was = part.ratings?.package
  if (was === undefined) return unknown('package', 'the original')
  if (figures.package === undefined) return unknown('package', 'the substitute')
  const both = `package: ${figures.package.trim()} for ${was}`
  return figures.package.trim().toLowerCase() === was.trim().toLowerCase() ? { is: 'as-good', words: both } : { is: 'unlike', words: `${both}: see that pads, creepage and cooling fit` }
}

const switches: readonly Part['kind'][] = ['diode', 'rectifier', 'schottky', 'zener', 'tvs', 'bridge', 'npn', 'pnp', 'n-mosfet', 'p-mosfet', 'optocoupler', 'fuse', 'ic']

/** What of a part of this kind is held against the original; speed only where the kind has one. */
export const judgeSubstitute = (part: Part, figures: PartFigures): JudgedProperty[] => {
  const all: [What, Judged | null][] = [
    ['value', valueOf(part, figures)], ['tolerance', toleranceOf(part, figures)],
    ['volts', ratingOf(part, figures, 'volts')], ['amperes', ratingOf(part, figures, 'amperes')], ['watts', ratingOf(part, figures, 'watts')],
    ['speed', switches.includes(part.kind) ? speedOf(part, figures) : null], ['package', packageOf(part, figures)],
  ]
  return all.flatMap(([what, judged]) => (judged === null ? [] : [{ what, ...judged }]))
}

/** "220 Ω, ± 2 %, 0.25 W, 0805": of the original, as far as the board file says. */
export const knownInWords = (part: Part): string => {
  const { value, tolerance, ratings = {} } = part
  const unit = unitOfValue(part)
  return [
    value === undefined || unit === null ? '' : shown(value, unit), tolerance === undefined ? '' : `± ${percent(tolerance)}`,
    ...(['volts', 'amperes', 'watts'] as const).map((which) => { const rated = ratings[which]; return rated === undefined ? '' : shown(rated, unitOfRating[which]) }),
    ratings.seconds === undefined ? '' : shown(ratings.seconds, 's'), ratings.package ?? '',
  ].filter((words) => words !== '').join(', ')
}
