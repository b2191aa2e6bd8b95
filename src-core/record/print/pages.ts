/** A signed record, or the statement of a job, as blocks in reading order: everything that is printed of it, and in which words. */
import type { SignedFile, SignedRecord, SignedStatement, TestRecordContent } from '../schema'
import { runVerdictWords } from '../../run/result-words'
import { keyInWords } from '../key-in-words'
import { sheetWords } from '../sheet'
import { heading, note, plain, under, type Block, type Section } from './block'
import { budgetsBlocks } from './budgets'
import { figure, moment } from './figures'
import { boardBlocks } from './marks'
import { metersBlocks, traceabilityWords } from './meters'
import { ruleBlocks } from './rule'
import { goodBoardTable, pointsTable, replacedTable, skippedTable, stepNamed, valuesNotes, valuesTable } from './values'

type Row = [string, string]
const orNot = (text: string | null): string => text ?? 'not stated'

const environmentWords = ({ environment: { celsius, relativeHumidityPercent } }: TestRecordContent): string =>
  [celsius === null ? null : figure(celsius, '°C'), relativeHumidityPercent === null ? null : `${figure(relativeHumidityPercent, '%')} relative humidity`].filter((each) => each !== null).join(', ') || 'not stated'

const testedWords = ({ from, to }: TestRecordContent['dates']['tested']): string => `${moment(from)} to ${moment(to)}`

const frontBlocks = (record: TestRecordContent): Block[] => {
  const { board, item, dates } = record
  return [
    { kind: 'title', text: `Test record ${record.number}`, under: record.issuer },
    { kind: 'outcome', verdict: record.outcome.verdict, text: runVerdictWords[record.outcome.verdict].toUpperCase(), because: record.outcome.because },
    ...(record.replaces === null ? [] : [
      { kind: 'text', tone: 'strong', text: `This record replaces ${record.replaces.number}. Reason: ${record.replaces.because}` } as const,
    ]),
    ...(record.follows === undefined ? [] : [{ kind: 'text', tone: 'strong', text: `This run follows an earlier one of the same item. ${record.follows.words}` } as const]),
    {
      kind: 'facts', columns: 2, rows: [
        ['Item', `${board.name}, revision ${board.revision}`], ['Serial number', item.serialNumber === '' ? 'none' : item.serialNumber],
        [sheetWords.customer, orNot(record.customer)], [sheetWords.job, orNot(record.job)],
        [sheetWords.received, orNot(dates.received)], ['Issued', moment(dates.issued)],
        ['Tested', testedWords(dates.tested)], [sheetWords.place, record.place],
        [sheetWords.technician, record.technician], [sheetWords.authorisedBy, record.authorisedBy],
        ['Environment', environmentWords(record)], ['Hazard', board.hazard === 'extra-low' ? 'extra-low voltage' : 'hazardous voltage'],
      ],
    },
    { kind: 'facts', columns: 1, rows: [[sheetWords.conditionAsReceived, item.conditionAsReceived]] },
    { kind: 'text', tone: 'strong', text: record.scope },
    traceabilityWords(record),
  ]
}

const proofBlocks = (record: TestRecordContent): Block[] => {
  const { deEnergised } = record
  const named = stepNamed(record)
  return under('Preparation and proof of de-energisation', [
    plain(`${deEnergised.proven ? 'The board was shown to be de-energised.' : 'It is NOT shown that the board was de-energised.'} ${deEnergised.words}`),
    ...(deEnergised.steps.length === 0 ? [] : [plain(`Shown by: ${deEnergised.steps.map(named).join('; ')}.`)]),
    ...deEnergised.lapsed.map(({ at, because }) => plain(`The proof lapsed ${moment(at)}: ${because}`)),
    ...(deEnergised.poweredSteps.length === 0 ? [] : [plain(`Measured with the board supplied, as the sequence asks: ${deEnergised.poweredSteps.map(named).join('; ')}.`)]),
    ...valuesTable(record, 'preparation'),
  ])
}

const remarksBlocks = (record: TestRecordContent): Block[] => {
  const named = stepNamed(record)
  return [
    ...under('Cautions shown', record.cautions.map(({ step, words, acknowledged }) =>
      plain(`${named(step)}: ${words} (${acknowledged === null ? 'shown' : `acknowledged ${moment(acknowledged)}`})`))),
    ...under('Notes of the technician', record.notes.map(({ at, step, words }) => plain(`${moment(at)}${step === null ? '' : `, ${named(step)}`}: ${words}`))),
    ...under('Repairs', (record.repairs ?? []).map(({ part, what, at, by }) => plain(`${part}: ${what}${at === null ? '' : `, ${moment(at)}`}${by === null ? '' : `, ${by}`}`))),
    ...under('Opinion: what Probewright concludes. It was not measured', record.opinion.map(({ about, words }) => plain(`${named(about)}: ${words}`))),
  ]
}

/** 32 letters a group: as one compares hex by eye. */
const inGroups = (hex: string): string => keyInWords(hex)

const sealRows = (seal: SignedFile['seal']): Row[] => [
  ['SHA-256', inGroups(seal.sha256)], ['Ed25519 key', inGroups(seal.publicKey)], ['Signature', inGroups(seal.signature)],
]

const insideWords = 'What is signed is the JSON file attached to this PDF; these pages are its print. It holds all that is printed here, and the statistics and raw frames of every reading. '
  + '“verify FILE.pdf” of Probewright’s command line tells whether it is as it was signed, and whether these pages are its print; the SHA-256 and the signature (RFC 8032) are over its canonical form (RFC 8785), without those two.'

const followsRows = ({ follows }: TestRecordContent): Row[] => (follows === undefined ? [] : [
  ['Steps asked for', follows.steps.length === 0 ? 'no step' : `${follows.steps.length} of ${follows.of}: ${follows.steps.join(', ')}`], ['Run before', follows.run],
])

const identityBlocks = ({ record, seal }: SignedRecord): Block[] => {
  const { chain, board, sequence, run } = record
  const inJob = chain.inJob === null ? [] : [['In its job', `record ${chain.inJob.position}${chain.inJob.previous === null ? ', the first' : `, after ${chain.inJob.previous.number}`}`] as Row]
  return [
    heading('Identity and signature'),
    {
      kind: 'seal', code: `Probewright test record ${record.number} SHA-256 ${seal.sha256}`, rows: [
        ['Record', `${record.number}, number ${chain.sequence} of chain ${chain.id}${chain.previous === null ? ', the first' : `, after ${chain.previous.number}`}`], ...inJob,
        ['Made with', `${record.software.name} ${record.software.version}`], ...sealRows(seal),
      ],
    },
    {
      kind: 'facts', columns: 1, rows: [
        ['Board file', `${board.id} revision ${board.revision}, SHA-256 ${inGroups(board.sha256)}`],
        ['Sequence', `${sequence.id} version ${sequence.version}, SHA-256 ${inGroups(sequence.sha256)}`],
        ...followsRows(record),
        ['Run', `${run.id}, ${run.events} events, SHA-256 ${inGroups(run.sha256)}`],
        ...(chain.previous === null ? [] : [['Record before', `${chain.previous.number}, SHA-256 ${inGroups(chain.previous.sha256)}`] as Row]),
        ...(record.replaces === null ? [] : [['Replaces', `${record.replaces.number}, SHA-256 ${inGroups(record.replaces.sha256)}`] as Row]),
      ],
    },
    note(insideWords), note(record.scope),
  ]
}

const recordSection = (file: SignedRecord, budgets: boolean): Section => {
  const { record } = file
  return {
    head: `Test record ${record.number}`, issuer: record.issuer,
    blocks: [
      ...frontBlocks(record), ...boardBlocks(record),
      ...under('Measured values', [...valuesTable(record, 'sequence'), ...valuesNotes(record)]),
      ...goodBoardTable(record), ...pointsTable(record), ...ruleBlocks(record), ...skippedTable(record), ...replacedTable(record), ...proofBlocks(record), ...metersBlocks(record), ...remarksBlocks(record),
      ...(budgets ? budgetsBlocks(record) : []), ...identityBlocks(file),
    ],
  }
}

const statementSection = ({ statement, seal }: SignedStatement): Section => ({
  head: `Statement of job ${statement.job}`, issuer: statement.issuer,
  blocks: [
    { kind: 'title', text: `Statement of job ${statement.job}`, under: statement.issuer },
    plain(`Up to ${moment(statement.at)} this job${statement.customer === null ? '' : ` of ${statement.customer}`} has ${statement.count} ${statement.count === 1 ? 'record' : 'records'}, ${statement.first} to ${statement.last}. With it a missing last record shows too.`),
    { kind: 'table', columns: [{ title: 'No.', share: 8 }, { title: 'Record', share: 22 }, { title: 'SHA-256', share: 70 }], rows: statement.records.map(({ number, sha256 }, index) => [String(index + 1), number, inGroups(sha256)]) },
    { kind: 'seal', code: `Probewright job statement ${statement.last} SHA-256 ${seal.sha256}`, rows: [['Chain', statement.chain], ['Last record', `${statement.last}, SHA-256 ${inGroups(statement.lastSha256)}`], ...sealRows(seal)] },
    note(insideWords),
  ],
})

/** One section for each file, in their order. @param budgets with the uncertainty budgets. */
export const sectionsOf = (files: readonly SignedFile[], { budgets }: { budgets: boolean }): Section[] =>
  files.map((file) => ('record' in file ? recordSection(file, budgets) : statementSection(file)))
