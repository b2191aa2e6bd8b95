import { expect, it } from 'vitest'
import { killAndGoOn } from './kill-and-go-on'

/** What the meter taught is committed with the event that shows it, so the run taken up knows it. */
it('a run killed right after the last session check reaches its verdict when it is taken up', async () => {
  const report = await killAndGoOn(1, 20_262, { asSoonAs: (bench) => bench.steps.some((step) => step.id === 'prepare/leads-apart/dc-voltage' && step.state === 'decided') })
  expect(report).toMatchObject({ kills: 1, lost: [], stuck: [], finished: 1 })
  expect(report.shown).toBeGreaterThan(0)
}, 240_000)
