/**
 * The figures record.verified_per_s, records of the sample board, and the same of 60 steps: as they lie in a file, read and judged;
 * and record.pdf_s, a record of 60 steps from its run to the signed PDF.
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { recordOfRun } from '../../src-core/record/from-run'
import { fileText } from '../../src-core/record/seal'
import { verify } from '../../src-core/record/verify'
import { attachedRecord } from '../../src-main/service/record/attached-record'
import { sha256OfBytes } from '../../src-main/service/record/board-pictures'
import { createPrinting } from '../../src-main/service/record/printing'
import { checks, publicHexOf } from '../../src-main/service/record/signatures'
import { lengthened, sealedRecord, sourcesMade, testKey } from '../bench-tools/made-records'
import { root } from '../bench-tools/running-app'

const distinct = 50
const passes = 5
const eachPass = 500
const pdfSteps = 60
const pdfPasses = 9

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

/** As the app makes it: recorded and signed, then printed with picture and budgets by a worker that is started for it. Median, and the worst of all. */
export const pdfFigures = async (): Promise<Figure[]> => {
  const folder = join(root, 'fixtures/boards/vent-driver-node')
  const pictureSha256 = sha256OfBytes(readFileSync(join(folder, 'top.svg')))
  const printing = createPrinting(fileURLToPath(new URL('./pages-worker.js', import.meta.url)))
  const of = lengthened(pdfSteps)
  const times: number[] = []
  for (let pass = 0; pass < pdfPasses; pass += 1) {
    const began = performance.now()
    const text = fileText(sealedRecord(recordOfRun(sourcesMade({ of, seed: pass + 1 }, { pictureSha256s: [pictureSha256] }))))
    const pdf = await printing.print({ text, as: 'pdf', paper: 'a4', budgets: true, picturesIn: [folder] })
    times.push((performance.now() - began) / 1000)
    if (Buffer.from(await attachedRecord(pdf) ?? []).toString('utf8') !== text || !pdf.includes('VENT DRIVER NODE')) throw new Error('The PDF does not hold the record and its picture.')
  }
  times.sort((one, other) => one - other)
  const figure = (name: string, value: number): Figure => ({ name, value: Number(value.toFixed(3)), unit: 's' })
  return [figure('record.pdf_s', times[Math.floor(times.length / 2)] ?? NaN), figure('record.pdf_worst_s', times.at(-1) ?? NaN)]
}

/** The sample board's own sequence has 23 steps. */
export const verifiedFigures = (): Figure[] => [verifiedPerSecond('record.verified_per_s', 23), verifiedPerSecond('record.verified_60_steps_per_s', 60)]
