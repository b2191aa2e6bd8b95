import { describe, expect, it } from 'vitest'
import { ngspiceIsHere } from '../../bench-tools/ngspice'
import { sampled } from '../../bench-tools/sampled'
import { compared, drawnCircuit, drawnSeeds } from './against-ngspice'

const here = ngspiceIsHere()
if (!here) process.stderr.write('ngspice is not installed: its operating points are not compared with the solver’s.\n')

describe.skipIf(!here)('against ngspice (Debian’s package), on the same equations: 0.1 mV or 10⁻⁴ of every net’s voltage', () => {
  const seeds = sampled(drawnSeeds, 8)
  it(`${seeds.length} of ${drawnSeeds.length} drawn circuits, at 20 points of each of their components`, { timeout: 300_000 }, () => {
    let points = 0
    for (const seed of seeds) {
      const found = compared(drawnCircuit(seed), seed, 20)
      expect(found.words, `circuit ${seed}`).toEqual([])
      points += found.points
    }
    expect(points).toBeGreaterThan(seeds.length * 10)
  })
})
