/** The uncertainty budgets of the values that stand, each as a table (JCGM 100:2008). */
import type { TestRecordContent } from '../schema'
import type { RecordBudget, RecordValue } from '../step-schema'
import { heading, note, plain, strong, type Block, type Cell, type Column } from './block'
import { degreesInWords, probabilityInWords } from '../../metrology/budget-view'
import { figure, twoDigits, valueWithU } from './figures'
import { numberedSteps, type NumberedStep } from './values'

/** The second is left out where no part has an estimate. */
const columns: readonly Column[] = [
  { title: 'Part', share: 26 }, { title: 'Estimate', share: 13, side: 'right' }, { title: 'Distribution', share: 16 }, { title: 'u', share: 12, side: 'right' },
  { title: 'c', share: 9, side: 'right' }, { title: '|c| · u', share: 12, side: 'right' }, { title: 'ν', share: 6, side: 'right' }, { title: 'Of u²', share: 8, side: 'right' },
]

const lineRow = ({ source, estimate, distribution, standardUncertainty, sensitivity, contribution, degreesOfFreedom }: RecordBudget['lines'][number], unit: string, combined: number): Cell[] => [
  source, estimate === null ? '' : twoDigits(estimate, unit), distribution, twoDigits(standardUncertainty, unit), figure(Number(sensitivity.toPrecision(3))),
  twoDigits(contribution, unit), degreesInWords(degreesOfFreedom), combined === 0 ? '' : `${Math.round(100 * (contribution / combined) ** 2)} %`,
]

const tableOf = ({ unit }: RecordValue, budget: RecordBudget): Block => {
  const estimated = budget.lines.some(({ estimate }) => estimate !== null)
  const shown = <T>(row: readonly T[]): T[] => row.filter((_, index) => estimated || index !== 1)
  const combined = [strong('combined'), '', '', '', '', strong(twoDigits(budget.combined, unit)), degreesInWords(budget.effectiveDegreesOfFreedom), '']
  return { kind: 'table', columns: shown(columns), rows: [...budget.lines.map((line) => lineRow(line, unit, budget.combined)), combined].map(shown) }
}

const budgetBlocks = ({ label, step }: NumberedStep, value: RecordValue, budget: RecordBudget): Block[] => [
  heading(`Budget of step ${label}, ${step.title}: ${valueWithU(value)}`), tableOf(value, budget),
  note(`U = k · u${budget.bias === 0 ? '' : ` + ${twoDigits(Math.abs(budget.bias), value.unit)} (lead resistance that was not taken off; JCGM 100:2008, F.2.4.5)`} = ${twoDigits(budget.expanded, value.unit)}, with k = ${budget.k.toFixed(2)} for ${figure(Number((100 * budget.coverageProbability).toPrecision(4)), '%')}: ${budget.kFrom}.${
    value.conformance === undefined ? '' : ` Conforms with a probability of ${probabilityInWords(value.conformance.probability)} (JCGM 106:2012).`}`),
  ...(budget.remarks ?? []).map(note),
]

export const budgetsBlocks = (record: TestRecordContent): Block[] => {
  const all = numberedSteps(record, 'sequence').flatMap((each) => each.step.values.flatMap((value) => {
    const budget = value.uncertainty?.budget
    return value.stands && budget !== undefined ? budgetBlocks(each, value, budget) : []
  }))
  return [heading('Uncertainty budgets'), ...(all.length === 0 ? [plain('This record holds no uncertainty budget: U of each value came without one.')] : all)]
}
