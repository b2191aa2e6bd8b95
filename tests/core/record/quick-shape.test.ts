/** The quick look at a shape and zod's own parsing say the same of every record, whole or changed, and where it cannot tell it says no. */
import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { recordOfRun } from '../../../src-core/record/from-run'
import { surelyFits } from '../../../src-core/record/quick-shape'
import { jobStatementSchema, recordSchema } from '../../../src-core/record/schema'
import { changedEverywhere } from '../../bench-tools/changed-everywhere'
import { chainMade, sealedRecord, shortened, sourcesMade, statementMade } from '../../bench-tools/made-records'

const others = [null, true, 0, -1, 1.5, 2 ** 60, JSON.parse('1e999'), '', 'x'.repeat(41), 'x'.repeat(201), 'x'.repeat(20_001), 'overload', '0a', '0A', [], [[]], {}, JSON.parse('{"__proto__":1}')] as const

describe('the quick look', () => {
  it.each([
    ['a record', recordSchema, () => sealedRecord(recordOfRun(sourcesMade({ of: shortened(1) })))],
    ['a statement', jobStatementSchema, () => statementMade(chainMade([{}, {}]))],
  ])('says of every place of %s what zod says', (_what, schema, made) => {
    const look = surelyFits(schema)
    const whole: unknown = JSON.parse(JSON.stringify(made()))
    expect(look(whole)).toBe(true)
    const found = { fits: 0, not: 0 }
    for (const { path, value } of changedEverywhere(whole, '', others)) {
      const zod = schema.safeParse(value).success
      // Of a name that zod passes over the quick look says no, and leaves it to zod.
      if (look(value) !== zod && !(zod && path.startsWith('.seal.parts'))) throw new Error(`${path}: zod says ${zod} of ${JSON.stringify(value).slice(0, 200)}`)
      if (zod) found.fits += 1
      else found.not += 1
    }
    expect(found.fits).toBeGreaterThan(30)
    expect(found.not).toBeGreaterThan(300)
  })

  it.each([
    ['a refinement', z.number().refine((x) => x > 1)], ['a transformation', z.string().transform(Number)], ['a default', z.number().default(1)], ['an object that drops names', z.object({})],
    ['a step', z.number().multipleOf(2)], ['a format with a rule beyond its pattern', z.base64()], ['a trimmed text', z.string().trim()],
  ])('says no to what it does not know: %s', (_what, schema) => {
    expect([2, 'QUJD', {}, ' a '].map(surelyFits(schema))).toEqual([false, false, false, false])
  })
})
