/** Every placement of 500 drawn circuits, both ways, by this solver and by ngspice (Debian's package) on the same equations. */
import { expect, it } from 'vitest'
import { ngspiceIsHere } from '../../bench-tools/ngspice'
import { compared, drawnCircuit, drawnSeeds } from './against-ngspice'

const here = ngspiceIsHere()
if (!here) process.stderr.write('ngspice is not installed: its operating points are not compared with the solver’s.\n')

it.skipIf(!here)('agrees with ngspice to 0.1 mV or 10⁻⁴ of every net’s voltage', { timeout: 4 * 3600_000 }, () => {
  let [points, worst] = [0, 0]
  const words: string[] = []
  for (const seed of drawnSeeds) {
    const found = compared(drawnCircuit(seed), seed)
    points += found.points
    worst = Math.max(worst, found.worst)
    words.push(...found.words.map((one) => `circuit ${seed}: ${one}`))
  }
  console.log(`${drawnSeeds.length} circuits, ${points} points, the worst at ${worst} of what is allowed`)
  expect(words).toEqual([])
})
