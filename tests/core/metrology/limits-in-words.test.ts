import { describe, expect, it } from 'vitest'
import { boundsOf } from '../../../src-core/metrology/interval'
import { recordOfRun } from '../../../src-core/record/from-run'
import { tableColumns, tableRows } from '../../../src-core/run/value-table'
import { sourcesMade } from '../../bench-tools/made-records'
import { play, smallBoard } from '../run/a-run'
import { limitsInWords } from '../../../src-core/metrology/limits-in-words'

describe('limits in words', () => {
  it('says a tolerance as its two bounds', () => {
    expect(limitsInWords({ nominal: 220, tolerance: 0.05 }, 'Ω')).toBe('209 Ω to 231 Ω')
    expect(limitsInWords({ nominal: 4700, tolerance: 0.05 }, 'Ω')).toBe('4.465 kΩ to 4.935 kΩ')
    expect(limitsInWords({ nominal: 1e-7, tolerance: 0.2 }, 'F')).toBe('80.0 nF to 120 nF')
  })
  it('says two bounds', () => {
    expect(limitsInWords({ between: [0.45, 0.75] }, 'V')).toBe('0.45 V to 0.75 V')
    expect(limitsInWords({ between: [-0.01, 0.01] }, 'V')).toBe('\u221210.0 mV to 10.0 mV')
    expect(limitsInWords({ between: [950, 1050] }, 'Ω')).toBe('950 Ω to 1.05 kΩ')
  })
  it('says one bound', () => {
    expect(limitsInWords({ atMost: 2.6 }, 'Ω')).toBe('at most 2.6 Ω')
    expect(limitsInWords({ atLeast: 1000 }, 'Ω')).toBe('at least 1.00 kΩ')
    expect(limitsInWords({ atLeast: 999.9999 }, 'Ω')).toBe('at least 1.00 kΩ')
    expect(limitsInWords({ atLeast: 1e7 }, 'Ω')).toBe('at least 10.0 MΩ')
    expect(limitsInWords({ atMost: 0 }, 'V')).toBe('at most 0 V')
  })
  it('says open and short', () => {
    expect(limitsInWords('open', 'Ω')).toBe('open')
    expect(limitsInWords('short', 'Ω')).toBe('short')
  })
})

describe('the bounds in a table of runs and in a record', () => {
  it('are those a value is judged by: short in resistance ends at 1 Ω, in diode test at 10 mV; open has none', () => {
    expect(boundsOf('short', 'resistance')).toEqual({ low: null, high: 1 })
    expect(boundsOf('short', 'diode')).toEqual({ low: null, high: 0.01 })
    expect(boundsOf('open', 'diode')).toEqual({ low: null, high: null })
    expect(boundsOf({ nominal: 220, tolerance: 0.05 }, 'resistance')).toEqual({ low: 209, high: 231 })
    const board = smallBoard()
    const short = { ...board, sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => (step.id === 'r1' && step.kind === 'measure' ? { ...step, limits: 'short' as const } : step)) } }
    const bench = play(short)
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 0.6); bench.open('diode')
    const row = tableRows({ state: bench.state(), board: short }).find((cells) => cells[tableColumns.indexOf('step')] === 'r1')
    const value = recordOfRun(sourcesMade({}, { state: bench.state(), board: short })).steps.find(({ id }) => id === 'r1')?.values[0]
    expect(row?.[tableColumns.indexOf('limit_high')]).toBe(1)
    expect(value?.limits.high).toBe(1)
  })
})
