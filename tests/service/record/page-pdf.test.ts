/** The page of a closed board as other people's programs read it: one sheet, whatever was done to the board. */
import { describe, expect, it } from 'vitest'
import { reportPages } from '../../../src-core/repair/report'
import type { RepairView } from '../../../src-core/repair/view'
import { pagePdf } from '../../../src-main/service/record/pdf/page-pdf'
import { checkedByQpdf, infoOf, popplerIsHere, qpdfIsHere, textOf } from '../../bench-tools/pdf-tools'
import { lineInput } from '../../bench-tools/lifted-board'

const day = '2026-11-30T10:00:00.000Z'
const after = (steps: number): RepairView => ({
  run: 'r', board: { id: 'soil-probe', name: 'Soil probe', revision: 'A' }, serialNumber: 'SP-4', practice: false, refusal: null, parts: [], suggested: null, state: '', entries: [],
  before: Array.from({ length: steps }, (_, at) => ({ part: `R${at + 1}`, what: `replaced by one of the same marking, from a donor board whose other parts had been measured and found within limits (${at + 1})`, at: day, by: 'M. Rhys', photographs: [] })),
  runs: Array.from({ length: 8 }, (_, at) => ({ run: `0000000${at}-0000-4000-8000-000000000000`, startedUtc: day, verdict: 'fail', because: '', purpose: 'affected' })),
  values: Array.from({ length: steps }, (_, at) => ({ id: `s${at}`, title: `Step ${at + 1}`, made: [{ value: '900 Ω', verdict: at % 2 === 0 ? 'fail' : 'not-judged' }] })),
  again: { affected: { refusal: null, steps: [], alone: null }, whole: { refusal: null, alone: null }, beside: false, prove: { refusal: null, cautions: [] }, coolUtc: null }, donors: [], closings: [],
  closed: { as: 'beyond-repair', because: 'The input pair of U1 reads under its limit with the clamps lifted: 31 Ω at “A to GND”.', by: 'M. Rhys', utc: day },
})

describe.skipIf(!popplerIsHere || !qpdfIsHere)('the page of a closed board', () => {
  it.each([{ steps: 2, paper: 'a4' }, { steps: 40, paper: 'a4' }, { steps: 40, paper: 'letter' }] as const)('is one sheet of $paper after $steps repairs', async ({ steps, paper }) => {
    const bytes = await pagePdf(reportPages(lineInput([18_000, 31_000]), after(steps), (utc) => utc), paper, new Date(day))
    expect(checkedByQpdf(bytes)).toContain('No syntax or stream encoding errors')
    expect([infoOf(bytes)['Pages'], infoOf(bytes)['Page size']]).toEqual(['1', expect.stringContaining(paper === 'a4' ? 'A4' : 'letter')])
    const text = textOf(bytes).replace(/\s+/g, ' ')
    for (const words of ['Beyond repair', '31 Ω at “A to GND”', 'Not within its limits', 'Step 1 900 Ω, fail', 'Last run']) expect(text).toContain(words)
    const places = [`R${steps}`, `R${steps - 1}`].map((part) => text.indexOf(`${part} replaced`))
    expect([Math.min(...places) > 0, (places[0] ?? 0) < (places[1] ?? 0)], 'the latest repairs first').toEqual([true, true])
    expect(/And \d+ more, kept with the runs/.test(text)).toBe(steps > 14)
  })

  it('tells of each step that failed at first what it read then, and what it reads now', async () => {
    const mended: RepairView = { ...after(1), values: [
      { id: 'rail', title: 'Rail', made: [{ value: '0.3 Ω', verdict: 'fail' }, null, { value: '7.67 kΩ', verdict: 'pass' }] },
      { id: 'fuse', title: 'Fuse', made: [{ value: '0.2 Ω', verdict: 'pass' }, null, { value: '0.2 Ω', verdict: 'pass' }] },
    ], closed: { as: 'repaired', because: 'Every step that failed has passed.', by: 'M. Rhys', utc: day } }
    const text = textOf(await pagePdf(reportPages(lineInput([18_000, 31_000]), mended, (utc) => utc), 'a4', new Date(day))).replace(/\s+/g, ' ')
    expect(text).toContain('Failed first, and passed last Rail 0.3 Ω, fail; last 7.67 kΩ, pass What was done')
    expect(text).not.toContain('Fuse')
  })
})
