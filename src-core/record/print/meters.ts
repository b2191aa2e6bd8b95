/** The meters of a record as they are printed: who calibrated each, what was checked, and whether its values are traceable. */
import type { RecordMeter, TestRecordContent } from '../schema'
import { heading, plain, under, type Block, type Cell } from './block'
import { figure, moment, quantity, twoDigits } from './figures'
import { meterLabel, numberedSteps } from './values'
import { functionWords, listed, numbersInWords, rangeWords } from './words'

const identityWords: Record<NonNullable<RecordMeter['identity']>, string> = {
  proven: 'the meter named itself', confirmed: 'confirmed by the technician', assumed: 'assumed; nobody confirmed it',
}

const or = (text: string | null, otherwise: string): string => (text === null || text === '' ? otherwise : text)

const accuracyWords = ({ accuracy }: RecordMeter): string => (accuracy.length === 0 ? 'not entered'
  : accuracy.map(({ function: fn, range, percent, counts }) => `${functionWords(fn)}, ${rangeWords(fn, range)}: ± (${figure(percent, '%')} of reading + ${counts} ${counts === 1 ? 'count' : 'counts'})`).join('\n'))

const certificateRows = ({ certificate }: RecordMeter): [string, string][] => (certificate === null ? [['Calibration', 'no certificate is registered']] : [
  ['Certificate', `${certificate.number}, ${certificate.laboratory}${certificate.accreditation === '' ? ', unaccredited' : `, accreditation ${certificate.accreditation}`}`],
  ['Its points', certificate.functions.length === 0 ? 'none is registered' : `in ${listed(certificate.functions.map(functionWords))}`],
  ['Calibrated', `${certificate.calibrated}, due ${certificate.due}`],
  ['As found, as left', `${or(certificate.asFound, 'not stated')}; ${or(certificate.asLeft, 'not stated')}`],
])

const leadFunctions = ['resistance', 'continuity']

/** What became of the lead resistance in the item's values of this meter, by the numbers of their steps. */
const leadWords = (record: TestRecordContent, { id }: RecordMeter): string => {
  const steps = (taken: boolean): number[] => numberedSteps(record, 'sequence').filter(({ step }) => step.values.some((value) =>
    value.stands && value.meterId === id && typeof value.value === 'number' && leadFunctions.includes(value.function) && (value.leadTakenOff !== null) === taken)).map(({ label }) => Number(label))
  const told = (taken: boolean): string[] => {
    const numbers = steps(taken)
    return numbers.length === 0 ? [] : [`${taken ? 'taken off' : 'not taken off'} in step${numbers.length === 1 ? '' : 's'} ${numbersInWords(numbers)}`]
  }
  return [...told(true), ...told(false)].map((words) => `; ${words}`).join('')
}

/** @param leads what became of their resistance. */
const checksRows = ({ leadCheck, diodeCheck, sourceCheck }: RecordMeter, leads: string): [string, string][] => [
  ['Lead check', leadCheck === null ? 'none' : `leads joined: ${quantity(leadCheck.ohms, 'Ω')} ± ${twoDigits(leadCheck.U, 'Ω')}, ${moment(leadCheck.at)}${leads}`],
  ...(diodeCheck === null ? [] : [['Known diode', `${quantity(diodeCheck.forwardVolts, 'V')}, ${moment(diodeCheck.at)}`] as [string, string]]),
  ...(sourceCheck === null ? [] : [['Known source', `${quantity(sourceCheck.volts, 'V')}, ${moment(sourceCheck.at)}`] as [string, string]]),
]

const standardsTable = ({ standardChecks }: RecordMeter): Block[] => (standardChecks.length === 0 ? [] : [{
  kind: 'table',
  columns: [{ title: 'Check standard', share: 22 }, { title: 'Certificate', share: 18 }, { title: 'Checked', share: 18 }, { title: 'Result', share: 34 }, { title: '', share: 8 }],
  rows: standardChecks.map((check): Cell[] => [
    check.label, `${check.certificateNumber}, due ${check.certificateDue}`, moment(check.at), check.words,
    check.good ? 'good' : { text: 'NOT GOOD', weight: 'strong' },
  ]),
}])

const claimWords = ({ traceable: { claimed, because, functions } }: RecordMeter): string => (claimed
  ? `claimed in ${listed(functions.map(functionWords))}: certificate in date with points there, accuracy stated, and a good check`
  : `${functions.length === 0 ? 'not claimed' : `claimed in ${listed(functions.map(functionWords))} only`}. ${because}`)

const meterBlocks = (record: TestRecordContent, meter: RecordMeter): Block[] => [
  heading(`Meter: ${meterLabel(record, meter.id)}`),
  {
    kind: 'facts', columns: 1, rows: [
      ['Kind', or(meter.kind, 'not stated')], ['Serial number', `${or(meter.serialNumber, 'not stated')}${meter.assetNumber === '' ? '' : `, asset number ${meter.assetNumber}`}`],
      ...(meter.identity === null ? [] : [['Which instrument', identityWords[meter.identity]] as [string, string]]),
      ...certificateRows(meter), ['Stated accuracy', accuracyWords(meter)],
      ...(meter.conditions === null ? [] : [['Accuracy holds', `from ${figure(meter.conditions.celsiusFrom, '°C')} to ${figure(meter.conditions.celsiusTo, '°C')}, for ${meter.conditions.months} months after calibration`] as [string, string]]),
      ...checksRows(meter, leadWords(record, meter)), ['Check standards', meter.standardChecks.length === 0 ? 'none was measured' : 'as below'],
      ['Traceability', claimWords(meter)],
    ],
  },
  ...standardsTable(meter),
]

export const metersBlocks = (record: TestRecordContent): Block[] => [
  ...record.meters.flatMap((meter) => meterBlocks(record, meter)),
  ...under('Bench kit', [{
    kind: 'facts', columns: 1, rows: [
      ['Known diode', record.benchKit.knownDiode], ['Known source', record.benchKit.knownSource], ...(record.benchKit.knownResistor === null ? [] : [['Known resistor', record.benchKit.knownResistor] as [string, string]]),
    ],
  }]),
]

export const traceabilityWords = ({ traceable }: TestRecordContent): Block => plain(traceable.claimed
  ? 'The figures that stand are traceable to the SI through the calibration certificates of the meters named below, which were in date, cover their functions, and were checked.'
  : `Traceability is not claimed. ${traceable.because}`)
