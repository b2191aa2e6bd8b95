/** A seeded sample of the boards with hidden faults that the long run draws: a few of one board type, since its baselines cost more than a diagnosis. */
import { describe, it } from 'vitest'
import { expectLimits } from './score/limits'
import { scoringSeeds } from './score/seeds'

const daily = 4
/** The board types take turns. */
const everySo = 6

describe('the diagnosis of hidden faults', () => {
  it(`keeps its limits on ${daily} drawn boards`, { timeout: 300_000 }, () => {
    expectLimits(scoringSeeds(Number(process.env.SEED ?? 20_260), daily * everySo).filter((_, at) => at % everySo === 0))
  })
})
