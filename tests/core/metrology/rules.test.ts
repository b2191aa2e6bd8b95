import { describe, expect, it } from 'vitest'
import { decisionRule } from '../../../src-core/metrology/limits'
import { presetOf, presets, ruleInWords, stepRuleInWords } from '../../../src-core/metrology/rules'

const guarded = (r: number) => ({ kind: 'guard-band', r }) as const
const simple = { kind: 'simple-acceptance', r: 0 } as const

describe('the presets', () => {
  it('are rules that the shop can keep, each with a name of its own', () => {
    for (const { rule } of presets) expect(decisionRule.parse(rule)).toEqual(rule)
    expect(new Set(presets.map(({ name }) => name)).size).toBe(presets.length)
    expect(decisionRule.safeParse(guarded(3.01)).success).toBe(false)
  })
  it('are found again, and the shop’s own r is none of them', () => {
    for (const each of presets) expect(presetOf(each.rule)).toBe(each)
    expect(presetOf({ kind: 'simple-acceptance', r: 0.4 })?.name).toBe('simple acceptance')
    expect(presetOf(guarded(0.7))).toBeNull()
  })
})

describe('the rule in words', () => {
  it('of simple acceptance names its risk; a guard band of nothing is the same', () => {
    expect(ruleInWords(simple)).toBe('Simple acceptance (ILAC-G8:09/2019): a value within its limits, or on one, passes. At a limit the risk of a wrong pass is up to 50 %.')
    expect(ruleInWords(guarded(0))).toBe(ruleInWords(simple))
  })
  it('of a guard band says w, the four verdicts and the risk', () => {
    const words = ruleInWords(guarded(1))
    expect(words).toContain('w = U (ILAC-G8')
    for (const verdict of ['pass', 'conditional pass', 'conditional fail', 'fail']) expect(words).toContain(verdict)
    expect(words).toContain('at most 2.5 %')
    expect(ruleInWords(guarded(0.83))).toContain('w = 0.83 U')
    expect(ruleInWords(guarded(0.7))).not.toContain('Risk of')
  })
})

describe('the rule of one step', () => {
  it('with figures is the shop’s, with its limits, and says what an overload does', () => {
    const words = stepRuleInWords({ nominal: 220, tolerance: 0.05 }, 'resistance', 'Ω', simple)
    expect(words).toMatch(/^Limits 209 Ω to 231 Ω\. Simple acceptance/)
    expect(words).toMatch(/An overload fails\.$/)
    expect(stepRuleInWords({ atLeast: 1000 }, 'resistance', 'Ω', simple)).toMatch(/An overload passes, once confirmed\.$/)
  })
  it('of an open one is its own: no guard band, and a press or a second point', () => {
    const words = stepRuleInWords('open', 'diode', 'V', guarded(1))
    expect(words).toMatch(/^Open: passes on overload/)
    expect(words).toContain('confirmed by a press')
    expect(words).toBe(stepRuleInWords('open', 'diode', 'V', simple))
  })
  it('of a short one is its own: 1 Ω, or 10 mV in diode test, one-sided', () => {
    expect(stepRuleInWords('short', 'resistance', 'Ω', simple)).toBe('Short: passes at or under 1 Ω, lead resistance taken off; there is no lower limit, and an overload fails.')
    expect(stepRuleInWords('short', 'diode', 'V', guarded(0.83))).toMatch(/10 mV; .* The guard band of 0\.83 U counts from that limit\.$/)
    expect(() => stepRuleInWords('short', 'capacitance', 'F', simple)).toThrow(RangeError)
  })
})
