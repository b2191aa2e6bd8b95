/** The decision rules that the guidance names, and the rule of a step in words, as the record prints it. */
import type { MeterFunction, UnitSymbol } from '../meter/reading'
import { limitsMisfit, shortOhms, shortVolts } from './interval'
import { limitsInWords } from './limits-in-words'
import type { DecisionRule, Limits } from './limits'

export type Preset = {
  rule: DecisionRule
  name: string
  /** What a pass at the edge of acceptance risks, as the guidance states it: one limit, normal spread, k = 2. */
  risk: string
}

/**
 * ILAC-G8:09/2019, table 1 (from memory). Left out: “uncritical” (w = −U), which passes what was measured outside its limits; a record
 * that says pass there would not be understood.
 */
export const presets: readonly Preset[] = [
  { rule: { kind: 'simple-acceptance', r: 0 }, name: 'simple acceptance', risk: 'up to 50 % at the limit itself' },
  { rule: { kind: 'guard-band', r: 0.83 }, name: 'guard band of 0.83 U, as ISO 14253-1', risk: 'at most 5 %' },
  { rule: { kind: 'guard-band', r: 1 }, name: 'guard band of U, as ILAC-G8', risk: 'at most 2.5 %' },
  { rule: { kind: 'guard-band', r: 1.5 }, name: 'guard band of 1.5 U, “3 sigma”', risk: 'at most 0.16 %' },
  { rule: { kind: 'guard-band', r: 3 }, name: 'guard band of 3 U, “6 sigma”', risk: 'at most 1 in a million' },
]

/** Null: the shop's own r. */
export const presetOf = (rule: DecisionRule): Preset | null =>
  presets.find((each) => each.rule.kind === rule.kind && (rule.kind === 'simple-acceptance' || each.rule.r === rule.r)) ?? null

/** "U", "0.83 U". */
const guardBand = (r: number): string => (r === 1 ? 'U' : `${r} U`)

/** In a column of a table: "guard band w = 0.83 U". */
export const ruleName = (rule: DecisionRule): string => (rule.kind === 'simple-acceptance' ? 'simple acceptance' : `guard band w = ${rule.r} U`)

/** The shop's rule for steps with figures, in one or two sentences. */
export const ruleInWords = (rule: DecisionRule): string => {
  if (rule.kind === 'simple-acceptance' || rule.r === 0) {
    return 'Simple acceptance (ILAC-G8:09/2019): a value within its limits, or on one, passes. At a limit the risk of a wrong pass is up to 50 %.'
  }
  const risk = presetOf(rule)?.risk
  const w = guardBand(rule.r)
  return `Guard band w = ${w} (ILAC-G8:09/2019), U being the expanded uncertainty of each value at 95 %. Inside the limits by w or more: pass; inside by less: `
    + 'conditional pass; outside by w at most: conditional fail; further out: fail.'
    + (risk === undefined ? '' : ` Risk of a wrong pass at each limit as the guidance states it, for a normal spread and k = 2: ${risk}.`)
    + ' Each value carries the risk of its own spread.'
}

const openRule = 'Open: passes on overload, or on what this meter shows with its leads apart; any other value fails. Never taken by itself: a tip '
  + 'that does not touch shows the same, so each was confirmed by a press, typed by whoever held the tips, or proven on a second point of its net. No guard band has a meaning here.'

const shortRule = (f: MeterFunction, rule: DecisionRule): string => {
  const limit = f === 'diode' ? `${1000 * shortVolts} mV` : `${shortOhms} Ω, lead resistance taken off`
  const guarded = rule.kind === 'guard-band' && rule.r > 0
  return `Short: passes at or under ${limit}; there is no lower limit, and an overload fails.${guarded ? ` The guard band of ${guardBand(rule.r)} counts from that limit.` : ''}`
}

/**
 * The rule that one step is judged by. Steps with figures follow the shop's; "open" and "short" have their own.
 * @throws RangeError when the limits mean nothing in this function.
 */
export const stepRuleInWords = (limits: Limits, f: MeterFunction, unit: UnitSymbol, rule: DecisionRule): string => {
  const misfit = limitsMisfit(limits, f)
  if (misfit !== null) throw new RangeError(misfit)
  if (limits === 'open') return openRule
  if (limits === 'short') return shortRule(f, rule)
  const overload = 'atLeast' in limits ? ' An overload passes, once confirmed.' : ' An overload fails.'
  return `Limits ${limitsInWords(limits, unit)}. ${ruleInWords(rule)}${overload}`
}
