/** What a record says of a value's uncertainty, its chance to conform and its rule, from the events of a run. */
import { describe, expect, it } from 'vitest'
import { recordValue, type RecordValue } from '../../../src-core/record/step-schema'
import { recordRuleOf, recordValuesOf } from '../../../src-core/record/values-of-run'
import { stepState } from '../../../src-core/run/state'
import { judgedTraceable } from '../../bench-tools/made-records'
import { checkedMeter, play, smallBoard } from '../run/a-run'

const meter = { ...checkedMeter, accuracy: { resistance: { percent: 0.5, counts: 2 } } }
const valuesOf = (step: string, ohms: number, added = 'R9 in parallel'): RecordValue[] => {
  const board = smallBoard()
  const p = play({ ...board, addedUncertainty: [{ function: 'resistance', what: added, plusMinus: 1 }] }, meter)
  p.confirm(); p.open('dc-voltage'); p.confirm()
  p.touch('resistance', ohms); p.open('diode')
  return recordValuesOf(p.state(), stepState(p.state(), step), { moment: (utc) => utc, sources: judgedTraceable }, 'board file')
}

describe('a value in a record', () => {
  it('has its budget line by line, and the lines come to its U', () => {
    const [value] = valuesOf('r1', 221.4)
    expect(recordValue.parse(value)).toEqual(value)
    const budget = value?.uncertainty?.budget
    expect(budget?.lines.map(({ source }) => source.split(':')[0])).toEqual(['repeatability', 'resolution', 'accuracy of the meter', 'lead resistance', 'R9 in parallel'])
    expect(Math.hypot(...budget?.lines.map(({ contribution }) => contribution) ?? [])).toBeCloseTo(budget?.combined ?? NaN, 9)
    // The 0.1 Ω of the leads, left in above 100 Ω, stand whole beside k · u.
    expect(budget?.bias).toBe(0.1)
    expect((budget?.k ?? NaN) * (budget?.combined ?? NaN) + 0.1).toBeCloseTo(value?.uncertainty?.U ?? NaN, 9)
    expect(budget?.lines[2]).toMatchObject({ distribution: 'rectangular', degreesOfFreedom: null, standardUncertainty: expect.closeTo((0.005 * 221.4 + 0.2) / Math.sqrt(3), 9) as number })
    expect(budget?.remarks).toContain('Within which conditions the stated accuracy holds was not entered.')
  })

  it('that passes states the risk of a wrong pass, one that fails how likely it conforms all the same', () => {
    const [inside] = valuesOf('r1', 230.6)
    expect(inside?.conformance?.probability).toBeGreaterThan(0.5)
    expect(inside?.conformance?.falseAcceptance).toBeCloseTo(1 - (inside?.conformance?.probability ?? NaN), 9)
    const [outside] = valuesOf('r1', 231.4)
    expect(outside?.verdict).toBe('fail')
    expect(outside?.conformance?.falseAcceptance).toBeNull()
    expect(outside?.conformance?.probability).toBeLessThan(0.5)
    expect(outside?.conformance?.probability).toBeGreaterThan(0)
  })

  it('bears the short name of the rule, and open steps the rule of their own', () => {
    expect(valuesOf('r1', 221.4)[0]?.rule).toEqual({ kind: 'simple-acceptance', r: null, words: 'simple acceptance' })
    expect(valuesOf('d1', 221.4)[0]?.rule.words).toMatch(/^Open: passes on overload/)
    expect(valuesOf('d1', 221.4)[0]).not.toHaveProperty('conformance')
    expect(recordRuleOf({ kind: 'guard-band', r: 1 }).words).toMatch(/^Guard band w = U \(ILAC-G8:09\/2019\).*Risk of a wrong pass/)
  })

  it('fits the schema with the longest names a board type may give', () => {
    const [value] = valuesOf('r1', 221.4, 'x'.repeat(80))
    expect(recordValue.parse(value)).toEqual(value)
  })
})
