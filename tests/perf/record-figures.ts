/** The figures record.verified_per_s, records of the sample board, and the same of 60 steps: as they lie in a file, read and judged. */
import { recordOfRun } from '../../src-core/record/from-run'
import { fileText } from '../../src-core/record/seal'
import { verify } from '../../src-core/record/verify'
import { checks, publicHexOf } from '../../src-main/service/record/signatures'
import { lengthened, sealedRecord, sourcesMade, testKey } from '../bench-tools/made-records'

const distinct = 50
const passes = 5
const eachPass = 500

type Figure = { name: string; value: number; unit: string }

/** Median over passes. @throws Error when a record is not found valid, or a changed one is. */
const verifiedPerSecond = (name: string, steps: number): Figure => {
  const keys = [{ publicKey: publicHexOf(testKey), name: 'bench' }]
  const of = lengthened(steps)
  const files = Array.from({ length: distinct }, (_, seed) => ({ name: `${seed}`, text: fileText(sealedRecord(recordOfRun(sourcesMade({ of, seed: seed + 1 })))) }))
  const forged = files[0]?.text.replace('"verdict":"pass"}', '"verdict":"fail"}') ?? ''
  if (verify([{ name: 'forged', text: forged }], keys, checks).verdict !== 'changed') throw new Error('A changed record was not found.')
  const rates: number[] = []
  for (let pass = 0; pass < passes; pass += 1) {
    const began = performance.now()
    for (let k = 0; k < eachPass; k += 1) {
      const file = files[k % distinct]
      if (file === undefined || verify([file], keys, checks).verdict !== 'valid') throw new Error('A record was not found valid.')
    }
    rates.push(eachPass / ((performance.now() - began) / 1000))
  }
  rates.sort((one, other) => one - other)
  return { name, value: Math.round(rates[Math.floor(rates.length / 2)] ?? 0), unit: '1/s' }
}

/** The sample board's own sequence has 23 steps. */
export const recordFigures = (): Figure[] => [verifiedPerSecond('record.verified_per_s', 23), verifiedPerSecond('record.verified_60_steps_per_s', 60)]
