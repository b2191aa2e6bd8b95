/** The published JSON Schemas say of records what the app says. Ajv is a validator of JSON Schema that has nothing to do with zod. */
import { readFileSync } from 'node:fs'
import { Ajv } from 'ajv'
import { describe, expect, it } from 'vitest'
import { recordOfRun } from '../../../src-core/record/from-run'
import { chainMade, lengthened, sealedRecord, sourcesMade, statementMade } from '../../bench-tools/made-records'

const validator = (name: string) => {
  const ajv = new Ajv({ allErrors: true, strict: false, validateFormats: false })
  return ajv.compile(JSON.parse(readFileSync(new URL(`../../../fixtures/schemas/${name}.json`, import.meta.url), 'utf8')) as object)
}

describe('the published schema', () => {
  it('finds nothing wrong with a record, whatever its run came to, and marks what is unknown or missing', () => {
    const valid = validator('test-record')
    for (const verdict of ['pass', 'fail', 'incomplete'] as const) {
      valid(sealedRecord(recordOfRun(sourcesMade({ verdict, of: lengthened(23) }))))
      expect(valid.errors).toBeNull()
    }
    const record = sealedRecord(recordOfRun(sourcesMade()))
    expect(valid({ ...record, more: 1 })).toBe(false)
    const { seal: _gone, ...unsealed } = record
    expect(valid(unsealed)).toBe(false)
    expect(valid({ ...record, record: { ...record.record, scope: 'This record relates to all items.' } })).toBe(false)
  })
  it('finds nothing wrong with the statement of a job', () => {
    const valid = validator('job-statement')
    valid(statementMade(chainMade([{}, {}])))
    expect(valid.errors).toBeNull()
  })
})
