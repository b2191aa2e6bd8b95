/** The decision rule in words, and the rules of their own that open and short steps have. */
import { meterFunction, unitSymbol } from '../../meter/reading'
import type { DecisionRule } from '../../metrology/limits'
import { ruleInWords, stepRuleInWords } from '../../metrology/rules'
import type { TestRecordContent } from '../schema'
import type { RecordValue } from '../step-schema'
import { plain, under, type Block } from './block'
import { numberedSteps } from './values'
import { numbersInWords } from './words'

/** Null: a rule of a later version, of which only its own words are known. */
const ruleOf = ({ kind, r }: TestRecordContent['rule']): DecisionRule | null =>
  (kind === 'simple-acceptance' ? { kind, r: 0 } : kind === 'guard-band' && r !== null ? { kind, r } : null)

const mainRule = ({ rule }: TestRecordContent): string => {
  const known = ruleOf(rule)
  return known === null ? rule.words : ruleInWords(known)
}

/** Of a step with limits that no figure has. */
const ownRule = ({ limits, function: fn, unit, rule }: RecordValue): string | null => {
  const [f, u, known] = [meterFunction.safeParse(fn), unitSymbol.safeParse(unit), ruleOf(rule)]
  return (limits.kind === 'open' || limits.kind === 'short') && f.success && u.success && known !== null ? stepRuleInWords(limits.kind, f.data, u.data, known) : null
}

/** Each sentence with the steps it is about, in the order of the sequence. */
const byStep = (record: TestRecordContent, say: (value: RecordValue) => string | null): [string, number[]][] => {
  const found = new Map<string, number[]>()
  for (const { label, step } of numberedSteps(record, 'sequence')) {
    const value = step.values.find(({ stands }) => stands)
    const words = value === undefined ? null : say(value)
    if (words !== null) found.set(words, [...found.get(words) ?? [], Number(label)])
  }
  return [...found]
}

const steps = (numbers: readonly number[]): string => `${numbers.length === 1 ? 'Step' : 'Steps'} ${numbersInWords(numbers)}`

export const ruleBlocks = (record: TestRecordContent): Block[] => {
  const from = byStep(record, ({ limits }) => limits.from)
  return [
    ...under('Decision rule', [plain(mainRule(record)), ...byStep(record, ownRule).map(([words, numbers]) => plain(`${steps(numbers)}. ${words}`))]),
    ...under('Where the limits come from', from.map(([words, numbers]) => plain(`${from.length === 1 ? 'All steps' : steps(numbers)}: ${words}.`))),
  ]
}
