/** Records of runs played through the app: issued, kept over a restart, corrected, exported, verified by the command line, and never changed. */
import { readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import type { ContractClient } from '../../bench-tools/contract-client'
import { filledSheet } from '../../bench-tools/made-records'
import { openApp, openDataFolder } from '../../bench-tools/opened'
import { mistValve, putBoard } from '../../bench-tools/small-board'
import { typeAll } from '../../bench-tools/typing-hand'
import { commandLine } from '../cli/surroundings'
import { recordSchema } from '../../../src-core/record/schema'
import type { RecordSheet } from '../../../src-core/record/sheet'
import { verifyCommand } from '../../../src-main/cli/verify'

const later = closeAfterEach()

const playedRun = async (client: ContractClient, serialNumber: string, instead: Record<string, string> = {}): Promise<string> => {
  const { run } = await client.ask('start-run', { board: mistValve.id, revision: mistValve.revision, serialNumber, byEye: true })
  await typeAll(client, mistValve, { instead })
  await client.ask('close-run', {})
  return run
}

const fetched = async (address: string, path: string): Promise<string> => {
  const { origin, hash } = new URL(address)
  const answer = await fetch(`${origin}${path}?token=${hash.slice(1)}`)
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`)
  return answer.text()
}

const verified = async (dataFolder: string, ...args: string[]): Promise<{ code: number; printed: string[] }> => {
  const line = commandLine()
  return { code: await verifyCommand([...args, '--data', dataFolder], line), printed: line.printed }
}

describe('a record', () => {
  it('of a played run is issued, stays over a restart, is corrected by another, leaves as a file that verifies', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const first = await openApp(later, { dataFolder })
    await first.client.ask('state-air', { celsius: 21.5, relativeHumidityPercent: 44 })
    const run = await playedRun(first.client, 'MV-0417')
    const failed = await playedRun(first.client, 'MV-0418', { r1: '262' })

    // The sheet is asked for, and says what is missing.
    const empty = await first.client.ask('record-sheet', { run })
    expect(empty).toMatchObject({ refused: null, records: [], makesKey: true, sheet: { technician: '', conditionAsReceived: '', celsius: 21.5, relativeHumidityPercent: 44 } })
    await expect(first.client.ask('issue-record', { run, sheet: empty.sheet })).rejects.toThrow(/does not say who issues the record/)
    await expect(first.client.ask('issue-record', { run, sheet: { ...filledSheet, received: '2999-01-01' } })).rejects.toThrow(/still to come/)

    const entry = await first.client.ask('issue-record', { run, sheet: filledSheet })
    expect(entry).toMatchObject({ sequence: 1, run, board: 'mist-valve', serialNumber: 'MV-0417', verdict: 'pass', job: 'GC-2207', traceable: false, replaces: null, replacedBy: null })
    expect(statSync(join(dataFolder, 'keys', 'record-key.pem')).mode & 0o777).toBe(0o600)
    await expect(first.client.ask('issue-record', { run, sheet: filledSheet })).rejects.toThrow(`This run has its record, ${entry.number}.`)

    const { record, seal } = await first.client.ask('read-record', { number: entry.number })
    expect(record.traceable).toEqual({ claimed: false, because: 'Values read by eye and typed in are not traceable.' })
    expect(record.steps.find(({ id }) => id === 'r1')).toMatchObject({
      part: 'sequence', verdict: 'pass', placement: { red: { point: 'J1.1', words: 'terminal plus' }, black: { point: 'R1.2' } },
      values: [{ stands: true, value: 220, unit: 'Ω', words: '220.00 Ω', evidence: 'typed', meter: 'read by eye', limits: { kind: 'tolerance', low: 202.4, high: 237.6, from: 'board file of Mist valve revision A, sequence input version 1' } }],
    })
    expect(record.deEnergised).toMatchObject({ proven: true, words: 'Supplies and cables were taken off. Measured within their limits: rail.' })
    expect(record.meters).toMatchObject([{ name: 'read by eye', leadCheck: { ohms: 0.2 }, sourceCheck: { volts: 1.562 } }])
    expect(record.scope).toBe('This record relates only to the item tested.')
    expect(seal.sha256).toBe(entry.sha256)

    // The last answers are offered for the next item, but for what is of one item only.
    expect(await first.client.ask('record-sheet', { run: failed })).toMatchObject({ makesKey: false, sheet: { technician: 'A. Finch', conditionAsReceived: '' }, lastCondition: filledSheet.conditionAsReceived })
    const second = await first.client.ask('issue-record', { run: failed, sheet: filledSheet })
    const { record: ofFailed } = await first.client.ask('read-record', { number: second.number })
    expect(ofFailed.chain).toMatchObject({ sequence: 2, previous: { number: entry.number, sha256: entry.sha256 }, inJob: { position: 2, previous: { number: entry.number } } })
    // What the app concludes stands apart from what was measured; what a diagnosis adds depends on whether it was done by then.
    expect(ofFailed.outcome.verdict).toBe('fail')
    expect(ofFailed.opinion[0]).toEqual({ about: 'r1', words: 'Parts in question: R1.' })
    expect(ofFailed.opinion.slice(1).every(({ about }) => about === 'Diagnosis')).toBe(true)
    first.client.close()
    await first.app.close()

    const { app, client } = await openApp(later, { dataFolder })
    expect((await client.ask('list-records', {})).records.map(({ number }) => number)).toEqual([second.number, entry.number])
    await expect(client.ask('correct-record', { number: entry.number, because: ' ', sheet: filledSheet })).rejects.toThrow(/Say what was wrong/)
    const corrected = await client.ask('correct-record', { number: entry.number, because: 'The condition was left out.', sheet: { ...filledSheet, conditionAsReceived: 'Wet' } })
    expect(corrected).toMatchObject({ sequence: 3, replaces: entry.number })
    await expect(client.ask('correct-record', { number: entry.number, because: 'again', sheet: filledSheet })).rejects.toThrow(`${entry.number} was replaced by ${corrected.number} already.`)
    expect((await client.ask('list-records', { run })).records).toMatchObject([{ number: entry.number, replacedBy: corrected.number }, { number: corrected.number }])
    expect((await client.ask('read-record', { number: entry.number })).seal.sha256).toBe(entry.sha256)

    const out = openDataFolder(later)
    const saved = async (input: { numbers: string[] } | { ofJob: { customer: string; job: string } }, name: string): Promise<string> => {
      const file = join(out, name)
      writeFileSync(file, await fetched(app.address, (await client.ask('export-records', { ...input, as: 'json' })).path))
      return file
    }
    const [one, three, job] = [await saved({ numbers: [entry.number] }, 'one.json'), await saved({ numbers: [corrected.number] }, 'three.json'), await saved({ ofJob: { customer: 'Greenhouse Co-operative', job: 'GC-2207' } }, 'job.json')]
    await expect(client.ask('export-records', { ofJob: { customer: null, job: 'GC-2207' }, as: 'json' })).rejects.toThrow(/There is no record of job GC-2207/)
    client.close()
    await app.close()

    expect(recordSchema.parse(JSON.parse(readFileSync(one, 'utf8')))).toMatchObject({ record: { number: entry.number } })
    expect(await verified(dataFolder, one)).toMatchObject({ code: 0, printed: [expect.stringContaining(`valid, signed with the key of ${filledSheet.issuer}: record ${entry.number}`)] })
    expect(await verified(dataFolder, job)).toMatchObject({ code: 0 })
    expect((await verified(out, one))).toMatchObject({ code: 4, printed: [expect.stringContaining('the signature fits its content, key unknown'), expect.stringContaining('name its file with --key FILE')] })
    // Of the job the second is missing between two: as the records themselves say, without the statement.
    expect(await verified(dataFolder, one, three)).toMatchObject({ code: 3, printed: [expect.any(String), expect.any(String), `BROKEN CHAIN: ${second.number} is missing between ${entry.number} and ${corrected.number}.`, expect.stringContaining('was replaced by')] })
    // Without the last one its statement names it.
    const all = JSON.parse(readFileSync(job, 'utf8')) as unknown[]
    writeFileSync(join(out, 'short.json'), JSON.stringify([all[0], all[1], all[3]]))
    expect(await verified(dataFolder, join(out, 'short.json'))).toMatchObject({ code: 3, printed: expect.arrayContaining([`BROKEN CHAIN: ${corrected.number} is missing: it is the last of job GC-2207, as its statement says.`]) as string[] })
    // A changed figure is named beside the store's own copy.
    writeFileSync(join(out, 'forged.json'), readFileSync(one, 'utf8').replace('"value":220,', '"value":221,'))
    const forged = await verified(dataFolder, join(out, 'forged.json'))
    expect(forged.code).toBe(1)
    expect(forged.printed.join('\n')).toMatch(/record\.steps\[\d+\]\.values\[0\]\.value: 221 here, 220 as issued\./)

    // The file itself refuses to change or to drop a record, whoever asks.
    const database = new DatabaseSync(join(dataFolder, 'probewright.sqlite'))
    expect(() => { database.exec("UPDATE record SET body = '{}'") }).toThrow(/never changed/)
    expect(() => { database.exec('DELETE FROM record') }).toThrow(/never deleted/)
    // Each unique column by itself would drop the record it meets.
    const others = ['sequence', 'number', 'sha256', 'previous_sha256'].map((kept) => ['sequence', 'number', 'chain', 'run', 'customer', 'job', 'position', 'sha256', 'previous_sha256', 'replaces', 'entry', 'body']
      .map((column) => (column === kept || ['chain', 'run', 'customer', 'job', 'position', 'entry'].includes(column) ? column : column === 'sequence' ? '99' : column === 'replaces' ? 'NULL' : `'other ${column}'`)).join(', '))
    for (const values of others) {
      expect(() => { database.exec(`INSERT OR REPLACE INTO record SELECT ${values} FROM record ORDER BY sequence DESC LIMIT 1`) }, values).toThrow(/never replaced/)
    }
    database.close()
  })

  it('is corrected from its own sheet, not from that of another customer issued since', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { client } = await openApp(later, { dataFolder })
    const [older, newer] = [await playedRun(client, 'MV-0417'), await playedRun(client, 'MV-0418')]
    const ofOlder = { ...filledSheet, conditionAsReceived: 'Dusty\nJ1 corroded' }
    const ofNewer: RecordSheet = {
      issuer: 'Willow Lane Board Repair, the other house', place: 'Bench 5', technician: 'C. Wren', authorisedBy: 'T. Adeyemi', customer: '', job: '',
      conditionAsReceived: 'Clean', received: null, celsius: 19, relativeHumidityPercent: null,
    }
    const entry = await client.ask('issue-record', { run: older, sheet: ofOlder })
    await client.ask('issue-record', { run: newer, sheet: ofNewer })
    expect(await client.ask('record-sheet', { run: older })).toMatchObject({ sheet: ofOlder, lastCondition: '' })
    expect(await client.ask('record-sheet', { run: newer })).toMatchObject({ sheet: ofNewer })
    // Issued as offered, the correction differs in nothing that people had said; a further one begins with the corrected sheet.
    const { sheet } = await client.ask('record-sheet', { run: older })
    const corrected = await client.ask('correct-record', { number: entry.number, because: 'The day was wrong.', sheet: { ...sheet, received: '2026-03-11' } })
    const [was, is] = [await client.ask('read-record', { number: entry.number }), await client.ask('read-record', { number: corrected.number })]
    expect(is.record).toMatchObject({ customer: was.record.customer, job: was.record.job, technician: was.record.technician, item: was.record.item, environment: was.record.environment, issuer: was.record.issuer })
    expect((await client.ask('record-sheet', { run: older })).sheet).toEqual({ ...ofOlder, received: '2026-03-11' })
  })

  it('is not made of practice, nor of a run that has not ended, and says why', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { client } = await openApp(later, { dataFolder })
    const practice = await client.ask('start-practice', { board: mistValve.id, seed: 1, by: 'hand' })
    await client.ask('end', { reason: 'enough' })
    await expect(client.ask('issue-record', { run: practice.run, sheet: filledSheet })).rejects.toThrow(/practice run: its values are simulated/)
    expect((await client.ask('record-sheet', { run: practice.run })).refused).toMatch(/practice run/)
    await client.ask('close-run', {})
    const { run } = await client.ask('start-run', { board: mistValve.id, revision: 'A', serialNumber: 'MV-1', byEye: true })
    await expect(client.ask('issue-record', { run, sheet: filledSheet })).rejects.toThrow(/has not ended: go on with it, or end it/)
    await expect(client.ask('read-record', { number: '0000-000001' })).rejects.toThrow('There is no record 0000-000001 in this data folder.')
    expect((await client.ask('list-records', {})).records).toEqual([])
  })
})
