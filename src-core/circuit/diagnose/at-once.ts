/** What the readings leave right after one more of them, roughly: enough to say what to take next while the full search runs. */
import { type Base, baseOf, type Extra, logCalledFor, logOfBase, type Search } from './bases'
import { lookedAt } from './beside'
import { extended, type Hypothesis, isNear, refined } from './hypothesis'
import { calledForBy, calledForOnly, distinct, weighed } from './search'

/** The likeliest bases that are kept, those of them that further faults are looked for beside, and how far (e-folds) under the best a fault is followed. */
const kept = 4
const looks = 2
const below = 4
/** A base lies no further under the likeliest, in its probability's logarithm, or is not looked at. */
const within = 4

/** What hides beside a base hides beside the same with one fault more; what the readings called for is explained by that fault. */
const inherited = (extras: Base['extras'], { cells }: Hypothesis): Base['extras'] => {
  const own = new Set(cells.map(({ site, kind }) => (kind === 'stray' ? -1 : site)))
  return extras.map((extra): Extra | null => (extra === null || own.has(extra.cell.kind === 'stray' ? -1 : extra.cell.site) ? null
    : { ...extra, sights: [], refined: null, log: extra.log > logCalledFor ? 0 : extra.log }))
}

/**
 * On the bases of a full search of the first of the readings. No base is looked at anew: one that is pulled elsewhere keeps what hid beside it, and one
 * that a new reading calls for takes over what hides beside the base it came from.
 */
export const searchedAtOnce = (search: Search): Search => {
  const { model, taken } = search
  const pulled = new Map<string, Hypothesis>()
  const longer = search.bases.slice(0, kept).flatMap((base): Base[] => {
    const hypothesis = extended(model, base.hypothesis, taken)
    if (hypothesis === null) return []
    const then = isNear(model, hypothesis) ? hypothesis : refined(model, hypothesis, taken)
    pulled.set(base.key, then)
    return [{ ...base, hypothesis, log: logOfBase(search, then) }]
  })
  const order = weighed(search, longer)
  const least = Math.log(order[0]?.probability ?? 1) - within
  const bases = order.flatMap((base, at): Base[] => {
    const hypothesis = pulled.get(base.key) ?? base.hypothesis
    if (at >= looks || Math.log(base.probability) < least || base.extras.length === 0) return [{ ...base, hypothesis }]
    const full = lookedAt(search, base, below, true)
    return [{ ...full, hypothesis }, ...calledForBy(search, full, below).map((more): Base => ({ ...baseOf(search, more), extras: inherited(full.extras, more) }))]
  })
  return { ...search, bases: weighed(search, calledForOnly(search, distinct(bases))) }
}
