import { describe, expect, it } from 'vitest'
import { pooledRepeatability } from '../../../src-core/metrology/pooled'
import { noScatter, pooledAt, scatter, withGroup, type Scatter } from '../../../src-core/metrology/scatter'

const ohms = { function: 'resistance' as const, range: 600 }
const groups = [{ sd: 0.05, count: 5 }, { sd: 0.08, count: 6 }, { sd: 0.02, count: 1 }, { sd: 0, count: 4 }]
const fed = (before: Scatter, each: readonly { sd: number; count: number }[]): Scatter => each.reduce((sum, group) => withGroup(sum, ohms, 'repeatability', group), before)

describe('what is kept of a meter’s scatter', () => {
  it('pools as all groups at once do', () => {
    const [kept, once] = [pooledAt(fed(noScatter, groups), ohms, 'repeatability'), pooledRepeatability(groups)]
    expect(kept).toMatchObject({ degrees: once?.degrees, groups: once?.groups })
    expect(kept?.sd).toBeCloseTo(once?.sd ?? NaN, 12)
  })
  it('keeps functions, ranges and kinds apart, a range that is not told among them', () => {
    const both = withGroup(withGroup(fed(noScatter, groups), { ...ohms, range: null }, 'repeatability', { sd: 7, count: 3 }), ohms, 'contact', { sd: 0.3, count: 2 })
    expect(pooledAt(both, { ...ohms, range: null }, 'repeatability')).toEqual({ sd: 7, degrees: 2, groups: 1 })
    expect(pooledAt(both, ohms, 'contact')).toEqual({ sd: 0.3, degrees: 1, groups: 1 })
    expect(pooledAt(both, ohms, 'repeatability')?.degrees).toBe(12)
    expect(pooledAt(both, { function: 'diode', range: 600 }, 'repeatability')).toBeNull()
    expect(scatter.parse(JSON.parse(JSON.stringify(both)))).toEqual(both)
  })
  it('lets the past fade: a meter that grew noisy shows it though it was quiet for long', () => {
    const quiet = fed(noScatter, Array.from({ length: 2000 }, () => ({ sd: 0.01, count: 5 })))
    expect(pooledAt(quiet, ohms, 'repeatability')?.degrees).toBeLessThanOrEqual(400)
    expect(pooledAt(quiet, ohms, 'repeatability')?.sd).toBeCloseTo(0.01, 9)
    const noisy = fed(quiet, Array.from({ length: 200 }, () => ({ sd: 0.5, count: 5 })))
    expect(pooledAt(noisy, ohms, 'repeatability')?.sd).toBeGreaterThan(0.4)
  })
})
