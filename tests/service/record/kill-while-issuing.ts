/** Kills the app at a random moment of issuing, and looks what is left: a whole record, or none. */
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { judgeText } from '../../../src-core/record/judge-file'
import { fileText } from '../../../src-core/record/seal'
import { checks } from '../../../src-main/service/record/signatures'
import { closeAfter } from '../../bench-tools/closers'
import { folderOfLongRuns } from '../../bench-tools/filled-folder'
import { filledSheet } from '../../bench-tools/made-records'
import { openApp } from '../../bench-tools/opened'

/** `whole`, `none`: what was found after a kill; `torn`: what was neither; `lost`: a record that was answered for, and is gone. */
export type IssuingKills = { kills: number; whole: number; none: number; torn: string[]; lost: string[] }

const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

/** No kill is later after the question than this, in the time that one record took here. */
const latest = 1.5

/** One record is issued first, which says how long it takes. In the end the last run's record is issued, if it has none, and the chain must be whole. */
export const killWhileIssuing = (kills: number, seed: number): Promise<IssuingKills> => closeAfter(async (later) => {
  const random = seededRandom(seed)
  const dataFolder = folderOfLongRuns(later, kills + 1, 200)
  const report: IssuingKills = { kills: 0, whole: 0, none: 0, torn: [], lost: [] }
  const answered: string[] = []
  const usualMs = await closeAfter(async (soon) => {
    const { client } = await openApp(soon, { dataFolder })
    const run = (await client.ask('list-runs', {})).runs[0]?.run ?? ''
    const from = performance.now()
    answered.push((await client.ask('issue-record', { run, sheet: filledSheet })).number)
    return performance.now() - from
  })
  for (let k = 1; k <= kills; k += 1) {
    await closeAfter(async (soon) => {
      const { app, client } = await openApp(soon, { dataFolder })
      const run = (await client.ask('list-runs', {})).runs[k]?.run ?? ''
      const asking = client.ask('issue-record', { run, sheet: filledSheet }).then(({ number }) => { answered.push(number) }, () => undefined)
      await Promise.race([asking, pause(random() * latest * usualMs)])
      await app.kill()
      report.kills += 1
    })
    await closeAfter(async (soon) => {
      const { client } = await openApp(soon, { dataFolder })
      const run = (await client.ask('list-runs', {})).runs[k]?.run ?? ''
      const { records } = await client.ask('list-records', { run })
      report[records.length === 0 ? 'none' : 'whole'] += 1
      if (records.length === 0) await client.ask('issue-record', { run, sheet: filledSheet })
      const all = (await client.ask('list-records', {})).records
      report.lost.push(...answered.filter((number) => all.every((each) => each.number !== number)))
      let before: string | null = null
      for (const { number } of [...all].reverse()) {
        const file = await client.ask('read-record', { number })
        const [judged] = judgeText(fileText(file), checks)
        if (judged?.is !== 'record' || (file.record.chain.previous?.sha256 ?? null) !== before) report.torn.push(number)
        before = file.seal.sha256
      }
      if (all.length !== k + 1) report.torn.push(`${all.length} records after ${k + 1} runs`)
    })
  }
  return report
})
