import { expect, it } from 'vitest'
import { killAndGoOn } from './kill-and-go-on'

const seed = Number(process.env.SEED ?? 50_601)

it(`50 kills at random moments (seed ${seed})`, async () => {
  const report = await killAndGoOn(50, seed, { seconds: [0.3, 10] })
  process.stdout.write(`kill test, seed ${seed}: ${JSON.stringify(report)}\n`)
  expect(report.lost).toEqual([])
  expect(report.stuck).toEqual([])
  expect(report.kills).toBe(50)
  expect(report.shown).toBeGreaterThan(0)
}, 3_600_000)
