/** The tables of measured values: those the verdicts stand on, those that were replaced, and what was skipped. */
import type { TestRecordContent } from '../schema'
import { standingFigures } from '../standing-figures'
import type { RecordStep, RecordValue } from '../step-schema'
import type { RecordPoint } from '../walk-schema'
import { faint, note, strong, under, type Block, type Cell, type Column } from './block'
import { probabilityInWords } from '../../metrology/budget-view'
import { grouped, moment, timeOfDay, valueWithU } from './figures'
import { doneWords, evidenceWords, notReachedWords, verdictWords } from '../../run/result-words'
import { dropoutsInWords } from '../../run/watch-words'
import { evidenceMeans, functionWords, placementWords } from './words'

export type NumberedStep = { label: string; step: RecordStep }

/** The sequence is numbered from 1 as the board file has it, the preparation P1, P2, … */
export const numberedSteps = ({ steps }: TestRecordContent, part: RecordStep['part']): NumberedStep[] =>
  steps.filter((step) => step.part === part).map((step, index) => ({ label: `${part === 'preparation' ? 'P' : ''}${index + 1}`, step }))

const columns: readonly Column[] = [
  { title: 'No.', share: 5 }, { title: 'Step', share: 16 }, { title: 'Leads', share: 24 }, { title: 'Function', share: 10.5 },
  { title: 'Limits', share: 13 }, { title: 'Value ± U', share: 17, side: 'right' }, { title: 'Verdict', share: 15.5 }, { title: 'Evidence', share: 9 },
]

/** A figure and its unit stay on one line wherever the words are set. */
const unbroken = (words: string): string => words.replace(/ %/g, '\u00a0%')

/** On paper without colour a fail must not be overlooked. */
const judgedWords = (verdict: NonNullable<RecordStep['verdict']>): string => (verdict === 'fail' ? verdictWords.fail.toUpperCase() : verdictWords[verdict])

const verdictCell = (verdict: RecordStep['verdict'], conformance: RecordValue['conformance']): Cell => {
  if (verdict === null) return faint(notReachedWords)
  const chance = conformance === undefined ? '' : `\nP: ${unbroken(probabilityInWords(conformance.probability))}${conformance.falseAcceptance === null ? '' : `\nrisk: ${unbroken(probabilityInWords(conformance.falseAcceptance))}`}`
  const words = `${judgedWords(verdict)}${chance}`
  return verdict === 'pass' ? words : strong(words)
}

const standing = ({ values }: RecordStep): RecordValue | null => values.find(({ stands }) => stands) ?? null

/** Of a placement the technician chose: its value, which nothing judges. */
const readElsewhere = ({ kind, points = [] }: RecordStep): RecordPoint | null => (kind === 'measure' ? points.at(-1) ?? null : null)

const withoutValue = ({ kind, skipped, done, verdict }: RecordStep): string => {
  if (skipped !== null) return verdictWords.skipped
  if (kind === 'look' || kind === 'do' || kind === 'walk') return done === null ? '' : doneWords(kind, done.note)
  return verdict === null ? '' : 'no value stands'
}

const kindWords: Record<RecordStep['kind'], string> = { measure: '', look: 'look', do: 'do', watch: 'watch', walk: 'walk' }

/** A meter by its name; where two of the record bear it, by what else tells them apart. */
export const meterLabel = ({ meters }: TestRecordContent, id: string): string => {
  const meter = meters.find((each) => each.id === id)
  if (meter === undefined) return id
  if (meters.every((each) => each.id === id || each.name !== meter.name)) return meter.name
  return `${meter.name} (${meter.assetNumber || meter.serialNumber || id})`
}

/** Said beside each figure only where some are traceable and some are not; where all are alike it is said once. */
const claimIsMixed = ({ traceable, steps }: TestRecordContent): boolean => !traceable.claimed && standingFigures(steps).some((each) => each.traceable.claimed)

const valueCell = (record: TestRecordContent, value: RecordValue): string => [
  valueWithU(value), ...(value.uncertainty === null ? [] : [`k = ${value.uncertainty.k.toFixed(2)}`]),
  ...(record.meters.length > 1 ? [meterLabel(record, value.meterId)] : []), ...(value.traceable?.claimed === false && claimIsMixed(record) ? ['not traceable'] : []),
].join('\n')

/** Smallest and largest value, each with its uncertainty, and the dropouts. */
const watchCell = (watch: NonNullable<RecordStep['watch']>): string => {
  const { minimum, maximum, unit, dropouts } = watch
  if (minimum === null || maximum === null) return 'no contact'
  return [`from ${valueWithU({ ...minimum, unit })}`, `to ${valueWithU({ ...maximum, unit })}`, dropoutsInWords(dropouts)].join('\n')
}

/** The points of the walks that were learned on this item. */
export const pointsTable = (record: TestRecordContent): Block[] => {
  const rows = numberedSteps(record, 'sequence').flatMap(({ label, step }) => (step.kind === 'walk' ? step.points ?? [] : []).map((point): Cell[] => [
    `${label}.${point.point}`, point.red ?? `point ${point.point}`, functionWords(point.function), valueWithU(point), evidenceWords[point.evidence], moment(point.at),
  ]))
  return under('Points of walks learned on this item', rows.length === 0 ? [] : [
    note('Nothing was judged by them. Where this run passed, what it read here is among what later items are held to.'),
    { kind: 'table', rows, columns: [
      { title: 'No.', share: 8 }, { title: 'Red lead', share: 26 }, { title: 'Function', share: 16 }, { title: 'Value ± U', share: 20, side: 'right' }, { title: 'Evidence', share: 12 }, { title: 'Measured', share: 18 },
    ] },
  ])
}

/** What the good board beside the item read, and how far off the item is. */
export const goodBoardTable = (record: TestRecordContent): Block[] => {
  const rows = numberedSteps(record, 'sequence').flatMap(({ label, step: { title, goodBoard: good } }): Cell[][] => (good === undefined ? []
    : [[label, title, functionWords(good.function), valueWithU(good), good.difference, `${good.held === '' ? 'the limits of the step' : good.held}${good.fits ? '' : ' It lies itself outside the limits of the step.'}`]]))
  return under('Read on a good board beside the item', rows.length === 0 ? [] : [
    note('These are no values of the item: another board, said to be good, was measured at the same points just before.'),
    { kind: 'table', rows, columns: [
      { title: 'No.', share: 6 }, { title: 'Step', share: 20 }, { title: 'Function', share: 12 }, { title: 'Value ± U', share: 17, side: 'right' }, { title: 'Item is off by', share: 12, side: 'right' }, { title: 'Item was held to', share: 33 },
    ] },
  ])
}

const row = ({ label, step }: NumberedStep, record: TestRecordContent): Cell[] => {
  const value = standing(step)
  const elsewhere = readElsewhere(step)
  const powered = step.powered ? '\n(board supplied)' : ''
  const told = value ?? elsewhere
  const fn = value?.function ?? step.function
  return [
    label, `${step.title}${powered}`, placementWords(step.placement), fn === null ? faint(kindWords[step.kind]) : functionWords(fn),
    value === null ? grouped(step.watch?.limits?.words ?? '') : `${grouped(value.limits.words)}${value.limits.marked === null ? '' : `\nmarked ${value.limits.marked}`}${value.limits.computed === undefined ? '' : '\ncomputed'}`,
    step.watch !== undefined && step.skipped === null ? watchCell(step.watch) : value !== null ? valueCell(record, value) : elsewhere === null ? faint(withoutValue(step)) : valueWithU(elsewhere),
    step.skipped !== null ? faint(verdictWords.skipped) : step.points !== undefined ? faint(verdictWords['not-judged']) : verdictCell(step.verdict, value?.conformance),
    step.watch !== undefined ? `watched ${step.watch.seconds.toFixed(1)} s\n${timeOfDay(step.watch.at)}` : told === null ? '' : `${evidenceWords[told.evidence]}\n${timeOfDay(told.at)}`,
  ]
}

export const valuesTable = (record: TestRecordContent, part: RecordStep['part']): Block[] => {
  const steps = numberedSteps(record, part)
  return steps.length === 0 ? [] : [{ kind: 'table', columns, rows: steps.map((each) => row(each, record)) }]
}

/** What the columns mean, as far as this record needs it. */
export const valuesNotes = (record: TestRecordContent): Block[] => {
  const { steps } = record
  const stand = steps.flatMap(({ values }) => values.filter(({ stands }) => stands))
  const kinds = [...new Set(stand.map(({ evidence }) => evidence))]
  const likely = stand.some(({ conformance }) => conformance !== undefined)
  return [
    note('U is the expanded uncertainty with coverage factor k, for a coverage probability of about 95 %. Times are local, as in “Tested”.'),
    ...numberedSteps(record, 'sequence').flatMap(({ label, step }) => {
      const because = standing(step)?.noUncertaintyBecause ?? null
      return because === null ? [] : [note(`Step ${label} has no uncertainty: ${because}`)]
    }),
    ...(likely ? [note('P is the probability that the item conforms, risk the probability that a pass is wrong (JCGM 106:2012).')] : []),
    ...(kinds.length === 0 ? [] : [note(`Evidence: ${kinds.map((kind) => evidenceMeans[kind]).join('; ')}.`)]),
  ]
}

export const replacedTable = (record: TestRecordContent): Block[] => {
  const rows = (['preparation', 'sequence'] as const).flatMap((part) => numberedSteps(record, part)).flatMap(({ label, step }) =>
    step.values.filter(({ stands }) => !stands).map((value): Cell[] => [
      label, step.title, moment(value.at), valueWithU(value), grouped(value.limits.words), judgedWords(value.verdict), value.replacedBecause ?? '',
    ]).concat((step.earlierPoints ?? []).map((point): Cell[] => [
      `${label}.${point.point}`, `${step.title}, ${point.red ?? `point ${point.point}`}`, moment(point.at), valueWithU(point), '', verdictWords['not-judged'], 'The walk was taken back, made again, or left.',
    ]), (step.earlierWatches ?? []).map((watch): Cell[] => [
      label, step.title, moment(watch.at), watchCell(watch), grouped(watch.limits?.words ?? ''), judgedWords(watch.verdict), watch.ended === 'interrupted' ? 'It was interrupted, or begun again, after this.' : 'It was taken back, or followed again.',
    ]), (step.earlierGoodBoards ?? []).map((good): Cell[] => [
      label, `${step.title}, on the good board`, moment(good.at), valueWithU(good), '', verdictWords['not-judged'], `${good.replacedBecause} No value of the item.`,
    ])))
  return under('Earlier values that do not stand', rows.length === 0 ? [] : [{
    kind: 'table', rows, columns: [
      { title: 'No.', share: 5.2 }, { title: 'Step', share: 18 }, { title: 'Measured', share: 14 }, { title: 'Value ± U', share: 16, side: 'right' },
      { title: 'Limits', share: 14 }, { title: 'Judged', share: 9 }, { title: 'Why it does not stand', share: 24 },
    ],
  }])
}

const labelOf = (record: TestRecordContent): ((id: string) => string) => {
  const labels = new Map([...numberedSteps(record, 'preparation'), ...numberedSteps(record, 'sequence')].map(({ label, step }) => [step.id, `${label} ${step.title}`]))
  return (id) => labels.get(id) ?? id
}

/** A step by its number and title. */
export const stepNamed = labelOf

export const skippedTable = (record: TestRecordContent): Block[] => {
  const named = labelOf(record)
  const skipped = record.steps.flatMap(({ id, skipped: each }): Cell[][] => (each === null ? [] : [[named(id), moment(each.at), each.because]]))
  const notJudged = (record.notJudged ?? []).filter(({ step }) => record.steps.find(({ id }) => id === step)?.skipped == null)
  return [
    ...under('Skipped steps', skipped.length === 0 ? [] : [{
      kind: 'table', rows: skipped, columns: [{ title: 'Step', share: 36 }, { title: 'Skipped', share: 20 }, { title: 'Why', share: 44 }],
    }]),
    ...under('What could not be judged', notJudged.length === 0 ? [] : [{
      kind: 'table', rows: notJudged.map(({ step, because }) => [named(step), because]), columns: [{ title: 'Step', share: 40 }, { title: 'Why', share: 60 }],
    }]),
  ]
}
