/** Records that leave the app as PDF and as a table: the same bytes as the command line makes, for one run and for a job. */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { exportCommand } from '../../../src-main/cli/export'
import { verifyCommand } from '../../../src-main/cli/verify'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { filledSheet } from '../../bench-tools/made-records'
import { openApp, openDataFolder } from '../../bench-tools/opened'
import { mistValve, putBoard } from '../../bench-tools/small-board'
import { typeAll } from '../../bench-tools/typing-hand'
import { commandLine } from '../cli/surroundings'

const later = closeAfterEach()

it('a record and a job leave the app as the very bytes that the command line makes of their JSON', async () => {
  const dataFolder = openDataFolder(later)
  putBoard(dataFolder, mistValve)
  const { app, client } = await openApp(later, { dataFolder })
  const issued: string[] = []
  for (const serialNumber of ['MV-0417', 'MV-0418']) {
    const { run } = await client.ask('start-run', { board: mistValve.id, revision: mistValve.revision, serialNumber, byEye: true })
    await typeAll(client, mistValve, {})
    await client.ask('close-run', {})
    issued.push((await client.ask('issue-record', { run, sheet: filledSheet })).number)
  }
  const [first = ''] = issued
  const { origin, hash } = new URL(app.address)
  const out = openDataFolder(later)
  const saved = async (asked: Parameters<typeof client.ask<'export-records'>>[1]): Promise<{ name: string; type: string | null; bytes: Buffer }> => {
    const { path, name } = await client.ask('export-records', asked)
    const answer = await fetch(`${origin}${path}?token=${hash.slice(1)}`)
    const bytes = Buffer.from(await answer.arrayBuffer())
    writeFileSync(join(out, name), bytes)
    return { name, type: answer.headers.get('content-type'), bytes }
  }
  const made = async (from: string, to: string, ...options: string[]): Promise<Buffer> => {
    const line = commandLine(out)
    expect(await exportCommand([from, '--out', to, '--data', dataFolder, ...options], line)).toBe(0)
    return readFileSync(join(out, to))
  }

  const json = await saved({ numbers: [first], as: 'json' })
  const pdf = await saved({ numbers: [first], as: 'pdf' })
  expect(pdf).toMatchObject({ name: `probewright_record_${first}_mist-valve_MV-0417.pdf`, type: 'application/pdf' })
  expect(pdf.bytes.equals(await made(json.name, 'a4.pdf'))).toBe(true)
  expect((await saved({ numbers: [first], as: 'pdf', paper: 'letter', budgets: true })).bytes.equals(await made(json.name, 'letter.pdf', '--paper', 'letter', '--budgets'))).toBe(true)
  const table = await saved({ numbers: [first], as: 'csv' })
  expect(table.type).toBe('text/csv; charset=utf-8')
  expect(table.bytes.equals(await made(json.name, 'one.csv'))).toBe(true)

  // The statement of a job says when it was made: the PDF is compared with what is made of the JSON inside it.
  const job = await saved({ ofJob: { customer: filledSheet.customer, job: filledSheet.job }, as: 'pdf', paper: 'a4' })
  expect(job.name).toBe('probewright_job_GC-2207_records.pdf')
  await made(job.name, 'job.json')
  expect(job.bytes.equals(await made('job.json', 'job-again.pdf'))).toBe(true)
  expect((await made('job.json', 'job.csv')).toString('utf8').split('\r\n').filter((line) => line.startsWith(`"${issued[1] ?? ''}"`)).length).toBeGreaterThan(2)
  const line = commandLine(out)
  expect(await verifyCommand([join(out, job.name), '--data', dataFolder], line)).toBe(0)
  expect(line.printed.join('\n')).toContain('Its pages are the print of what is inside, byte for byte.')
})
