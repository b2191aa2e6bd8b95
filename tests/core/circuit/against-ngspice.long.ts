/** Every placement of 500 drawn circuits, both ways, by this solver and by ngspice (Debian's package) on the same equations. */
import { expect, it } from 'vitest'
import { ngspiceIsHere } from '../../bench-tools/ngspice'
import { addCompared, compared, comparedInWords, drawnCircuit, drawnSeeds, nothingCompared } from './against-ngspice'

const here = ngspiceIsHere()
if (!here) process.stderr.write('ngspice is not installed: its operating points are not compared with the solver’s.\n')

it.skipIf(!here)('agrees with ngspice to 0.1 mV or 10⁻⁴ of every net’s voltage', { timeout: 4 * 3600_000 }, async () => {
  const all = nothingCompared()
  for (const seed of drawnSeeds) {
    const found = compared(drawnCircuit(seed), seed)
    addCompared(all, { ...found, words: found.words.map((one) => `circuit ${seed}: ${one}`) })
    if ((seed + 1) % 10 === 0) console.log(`${seed + 1} circuits (seeds 0 to ${seed}), ${all.words.length} differences; ${comparedInWords(all)}`)
    // Lets the log out.
    await new Promise((resolve) => { setImmediate(resolve) })
  }
  expect(all.words).toEqual([])
})
