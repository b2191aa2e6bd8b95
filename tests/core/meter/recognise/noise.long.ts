/** The twenty mixtures of noise at more seeds, with the pass mark of the sample in `npm test`. */
import { noiseIsNoMeter } from './noise-cases'

const first = Number(process.env.SEED ?? 20_260)
process.stdout.write(`noise: 20 mixtures at 30 seeds from ${first} on\n`)
noiseIsNoMeter(Array.from({ length: 30 }, (_, index) => first + index))
