/** 1,000 boards with hidden faults, on seeds nothing was tuned on. */
import { describe, it } from 'vitest'
import { expectLimits } from './score/limits'
import { scoredCount } from './score/scored-count'
import { scoringSeeds } from './score/seeds'

describe('the diagnosis of hidden faults', () => {
  it(`keeps its limits over ${scoredCount} boards`, { timeout: 6 * 3_600_000 }, () => { expectLimits(scoringSeeds(Number(process.env.SEED ?? 20_260), scoredCount)) })
})
