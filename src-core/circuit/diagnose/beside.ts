/** What one more fault beside a base would make of the readings. */
import { type Base, type Extra, logCalledFor, logShareOf, type Search } from './bases'
import type { Cell } from './cells'
import { evidenceAt, extended, followed, type Hypothesis, isNear, linearOf, logOf, refined, sightsFor, unseen } from './hypothesis'
import { load, type Sight, viewAt } from './model'
import { screened } from './screen'

/** Of a screened change so much may be wrong. */
const screenShare = 0.15
/** Below this (e-folds) a screened fault is refuted, and not looked at closer. */
const refutedBelow = -9
/**
 * Looks at every other fault beside the base, at the readings it has not been looked at with; closely at those that lie no more than `below` under the best.
 * `atOnce`: what was refuted stays so, and what was looked at closely stays where it is while it is near enough.
 */
export const lookedAt = (search: Search, base: Base, below: number, atOnce = false): Base => {
  const { model, taken, cells } = search
  const { hypothesis } = base
  const known = model.slots.unknowns.length
  const own = new Set(hypothesis.cells.map(({ site, kind }) => (kind === 'stray' ? -1 : site)))
  const extras = base.extras.length > 0 ? base.extras.map((extra) => (extra === null ? null : { ...extra, sights: [...extra.sights] }))
    : cells.map((cell): Extra | null => (own.has(cell.kind === 'stray' ? -1 : cell.site) ? null : { cell, sights: [], refined: null, log: 0, seen: false }))
  const open = extras.filter((extra) => extra !== null)
  const since = open[0]?.sights.length ?? taken.length
  const figuresWith = (cell: Cell): Float64Array => Float64Array.from([...hypothesis.figures, cell.figure?.mean ?? 0])
  const changed: { extra: Extra; at: number }[] = []
  for (let at = since; at < taken.length; at += 1) {
    const [one, sight] = [taken[at], hypothesis.sights[at]]
    if (one === undefined || sight === undefined) continue
    load(model, hypothesis.cells, hypothesis.spread, hypothesis.figures)
    const view = viewAt(model, one.placement, sight.own)
    if (view === null) continue
    const estimates = screened(model, one.placement, view.tips, sight.y, open.map(({ cell }) => cell), hypothesis.spread)
    open.forEach((extra, which) => {
      extra.sights.push(null)
      const moved = Math.abs((estimates[which] ?? NaN) - sight.y)
      if (!(moved < unseen * one.seen.sigma) && !(atOnce && extra.log < refutedBelow)) changed.push({ extra, at })
    })
  }
  for (const { extra, at } of changed) {
    const one = taken[at]
    if (one === undefined) continue
    const figures = figuresWith(extra.cell)
    const before = base.before[extra.cell.index]?.sights[at]
    const known = before === undefined || before === null ? null : followed(before, one, hypothesis.spread, figures)
    const [sight] = known !== null ? [known] : sightsFor(model, [...hypothesis.cells, extra.cell], hypothesis.spread, figures, [one], [hypothesis.sights[at]]) ?? []
    extra.sights[at] = sight === undefined ? null : { spread: hypothesis.spread, figures, sight }
    extra.seen = true
  }
  const plain = logOf(hypothesis, known)
  const seen = open.filter((extra) => extra.seen)
  if (since < taken.length) {
    // Readings that a fault does not change leave the ratio with and without it as it is.
    const moved = seen.filter(({ sights, refined: better }) => (better !== null && !atOnce) || sights.some((sight, at) => at >= since && sight !== null))
    for (const extra of moved) judge(search, base, extra, plain, figuresWith(extra.cell), atOnce)
    closer(search, base, moved, plain, figuresWith, below)
  }
  return { ...base, extras, before: [] }
}

/** The point of an extra fault's cell, with the sights of the base where it changes nothing. */
const firstOf = (search: Search, { hypothesis }: Base, extra: Extra, figures: Float64Array): { hypothesis: Hypothesis; widened: Float64Array } => {
  const { model, taken } = search
  const cells = [...hypothesis.cells, extra.cell]
  const widened = new Float64Array(taken.length)
  const sights = hypothesis.sights.map((sight, at): Sight => {
    const own = extra.sights[at]?.sight ?? null
    widened[at] = own === null ? 0 : screenShare * Math.abs(own.y - sight.y)
    return own ?? sight
  })
  const evidence = evidenceAt(model, cells, taken, linearOf(hypothesis.spread, figures, sights), widened)
  return { hypothesis: { cells, spread: hypothesis.spread, figures, sights, evidence }, widened }
}

/** Roughly: from the middle of the cell, with allowance for the bend of what it changes; closely where it was looked at closely before. */
const judge = (search: Search, base: Base, extra: Extra, plain: number, figures: Float64Array, atOnce: boolean): void => {
  const { model, taken } = search
  const known = model.slots.unknowns.length
  const longer = extra.refined === null ? null : extended(model, extra.refined, taken)
  extra.refined = longer === null ? null : atOnce && isNear(model, longer) ? longer : refined(model, longer, taken)
  extra.log = logOf(extra.refined ?? firstOf(search, base, extra, figures).hypothesis, known) - plain
}

/** Cells of one kind and place that are looked at closely. */
const closest = 2

/** Moves the likeliest of the rough ones to where the readings pull them. */
const closer = (search: Search, base: Base, seen: readonly Extra[], plain: number, figuresWith: (cell: Cell) => Float64Array, below: number): void => {
  const { model, taken } = search
  const known = model.slots.unknowns.length
  const sorted = [...seen].sort((a, b) => b.log - a.log)
  const best = (sorted[0]?.log ?? 0) + logShareOf(search, sorted[0]?.cell ?? null)
  const taking = new Map<string, number>()
  for (const extra of sorted) {
    const { cell } = extra
    const name = `${cell.site} ${cell.pin ?? ''} ${cell.kind} ${cell.nets?.join('/') ?? ''}`
    const before = taking.get(name) ?? 0
    taking.set(name, before + 1)
    if (extra.refined !== null || extra.log < refutedBelow) continue
    if (before >= closest || extra.log + logShareOf(search, cell) < best - below) { extra.log = Math.min(extra.log, extra.log > logCalledFor ? -Infinity : 0); continue }
    const { hypothesis: first, widened } = firstOf(search, base, extra, figuresWith(cell))
    if (cell.figure === null && widened.every((one, at) => one < 0.5 * (taken[at]?.seen.sigma ?? 0)) && extra.log <= logCalledFor) continue
    const exact = { ...first, evidence: evidenceAt(model, first.cells, taken, linearOf(first.spread, first.figures, first.sights)) }
    extra.refined = refined(model, exact, taken)
    extra.log = logOf(extra.refined, known) - plain
  }
}
