/** The check of a meter over a line: good makes it traceable, failed blocks it and puts runs under review, good frees it; nothing else does. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openDataFolder } from '../bench-tools/opened'
import { closeAll } from '../bench-tools/closers'
import { openClient, type ContractClient } from '../bench-tools/contract-client'
import { openPtyPair, socatIsHere, type PtyPair } from '../bench-tools/pty-pair'
import { startApp, type RunningApp } from '../bench-tools/running-app'
import { commands, type CommandOutput } from '../../src-core/contract'
import { certificate, standards } from '../core/metrology/standards'

const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })
/** Long enough that neither certificate nor standard ends while this project lives. */
const longDue = '2099-01-01'
const lasting = {
  resistor: standards.resistor === null ? null : { ...standards.resistor, calibrated: '2026-01-01', due: longDue },
  diode: standards.diode === null ? null : { ...standards.diode, calibrated: '2026-01-01', due: longDue },
}

describe.skipIf(!socatIsHere)('the check of a meter', () => {
  const opened: (() => unknown)[] = []
  let pair: PtyPair
  let app: RunningApp
  let client: ContractClient
  let folder: string
  let meter = ''

  beforeAll(async () => {
    pair = await openPtyPair()
    folder = openDataFolder((close) => { opened.unshift(close) })
    app = await startApp([], folder)
    client = await openClient(app.address)
  })
  afterAll(async () => {
    client.close()
    await app.close()
    await pair.close()
    await closeAll(opened)
  })

  /** What the meter sends, a line each 110 ms, until the bench is so. */
  const streamUntil = async (lines: string[], there: () => boolean): Promise<void> => {
    for (let k = 0; k < 150 && !there(); k += 1) {
      pair.write(`${lines[k % lines.length] ?? ''}\r\n`)
      await pause(110)
    }
    if (!there()) throw new Error(`the bench did not move on: ${JSON.stringify(client.last('bench')?.step?.id)} ${client.last('live')?.state ?? ''}`)
  }
  const at = () => client.last('bench')?.step?.id ?? (client.last('bench')?.result === null ? 'nowhere' : 'end')
  const values = (id: string) => client.last('bench')?.steps.find((row) => row.id === id)
  const air = { RES: 'RES OL MOhm A', DIODE: 'DIODE OL V A' }
  const lift = async (fn: 'RES' | 'DIODE'): Promise<void> => { let sent = 0; await streamUntil([air[fn]], () => (sent += 1) > 7) }
  const learn = async (fn: 'RES' | 'DIODE'): Promise<void> => {
    const step = at()
    let sent = 0
    await streamUntil([air[fn]], () => (sent += 1) > 24)
    await client.ask('press', { key: 'confirm' })
    await client.until('bench', (bench) => bench?.step?.id !== step)
  }
  /** One touch; it is over when the step has a value more, or another came up. */
  const touch = async (fn: 'RES' | 'DIODE', lines: string[]): Promise<void> => {
    const step = at()
    await lift(fn)
    const seen = JSON.stringify([values(step)?.value, values(step)?.earlier])
    await streamUntil(lines, () => at() !== step || JSON.stringify([values(step)?.value, values(step)?.earlier]) !== seen)
  }
  const check = async (ohms: [string, string], touches: number): Promise<string> => {
    const { run } = await client.ask('check-meter', {})
    await client.until('bench', (bench) => bench?.run === run)
    for (const fn of ['DIODE', 'RES'] as const) if (at() === `prepare/leads-apart/${fn === 'RES' ? 'resistance' : 'diode'}`) await learn(fn)
    await touch('RES', ['RES 0.2 Ohm A', 'RES 0.3 Ohm A'])
    expect(at()).toBe('check/resistor')
    for (let k = 0; k < touches; k += 1) await touch('RES', ohms.map((each) => `RES ${each} Ohm A`))
    expect(at()).toBe('check/diode')
    await touch('DIODE', ['DIODE 0.601 V A', 'DIODE 0.602 V A'])
    expect(at()).toBe('end')
    return run
  }
  const history = (): Promise<CommandOutput<'check-history'>> => client.ask('check-history', { meter })

  it('is refused in plain words without check standards', async () => {
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A', name: 'Bench meter' })
    await expect(client.ask('check-meter', {})).rejects.toThrow(/no check standards\. Enter .* under “Check standards”/)
    const { library } = await client.ask('hello', {})
    const [own] = library.meters
    if (own === undefined) throw new Error('no meter')
    meter = own.id
    await client.ask('save-kit', { ...library.kit, checkStandards: lasting })
    await client.ask('save-meter', { ...own, accuracy: { resistance: { percent: 0.5, counts: 2 }, diode: { percent: 1, counts: 3 } }, register: { ...own.register, certificate: { ...certificate, calibrated: '2026-01-01', due: longDue } } })
    expect((await history()).traceability).toMatchObject({ traceable: false, because: expect.stringMatching(/no good check/) as string })
  })

  it('is refused while nobody has confirmed which meter it is: it would clear or block that one', async () => {
    await expect(client.ask('check-meter', {})).rejects.toThrow(/^Nobody has confirmed yet that this is Bench meter: .* Confirm it on Start/)
    await client.ask('confirm-meter', { meter })
  })

  it('good makes the meter’s values traceable', async () => {
    const run = await check(['470.1', '470.2'], 1)
    expect(client.last('bench')?.result).toMatchObject({ verdict: 'pass', because: expect.stringMatching(/Check resistor CR-1 reads 470\.\d Ω.*good\..*Check diode CD-1 .*good\.$/) as string })
    const { traceability, checks, review } = await history()
    expect(traceability).toEqual({ traceable: true, functions: ['resistance', 'diode'] })
    expect(checks.map((each) => [each.standard.label, each.good, each.run])).toEqual([['CR-1', true, run], ['CD-1', true, run]])
    expect(review).toEqual({ total: 0, runs: [] })
  })

  it('failed blocks it, says what it means, and lists the runs since the last good check', async () => {
    const board = client.last('library')?.boards[0] ?? (await client.ask('hello', {})).library.boards[0]
    if (board === undefined) throw new Error('no board')
    const { run: between } = await client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: 'VD-77' })
    await client.ask('end', { reason: 'only begun' })
    await client.ask('close-run', {})
    const failed = await check(['480.1', '480.2'], 2)
    const bench = client.last('bench')
    expect(bench?.result?.verdict).toBe('fail')
    expect(bench?.result?.because).toMatch(/Check resistor CR-1 reads 480\.\d Ω, should be 470\.0 Ω ± .* Ω: failed\. .*Values of this meter are not traceable until a good check\.$/)
    expect(bench?.notes.join(' ')).toMatch(/1 run since the last good check of \d{4}-\d\d-\d\d is under review\./)
    const { traceability, failed: words, review, checks } = await history()
    expect(words).toMatch(/^Check resistor CR-1 failed on \d{4}-\d\d-\d\d: values of this meter are not traceable until a good check\.$/)
    expect(traceability).toMatchObject({ traceable: false, because: expect.stringMatching(/^Check resistor CR-1 failed on /) as string })
    expect([review.total, review.runs.map(({ run }) => run)]).toEqual([1, [between]])
    expect(checks.filter((each) => each.run === failed).map((each) => each.good)).toEqual([false, true])
    const detail = await client.ask('read-run', { run: failed })
    expect([detail.head.board.name, detail.head.verdict]).toEqual(['Check of the meter', 'fail'])
    // What the good check showed of the meter's scatter was kept, and stands in the budget of this one.
    const checked = detail.steps.find(({ id }) => id === 'check/resistor')?.values ?? []
    expect(checked.map(({ uncertainty }) => uncertainty)).toEqual(checked.map(() => expect.stringContaining('from a budget') as string))
    expect(checked[0]?.budget?.rows[0]).toMatchObject({ what: 'repeatability', from: expect.stringMatching(/^pooled from \d+ steady values? of this function and range/) as string })
  })

  it('nothing waves it through: not the kit, not the register, not an undo, not a restart; and no command takes a check', async () => {
    await client.ask('press', { key: 'back' }).catch(() => undefined)
    await client.ask('end', { reason: 'taken back' }).catch(() => undefined)
    await client.ask('close-run', {})
    const { library: { kit, meters } } = await client.ask('hello', {})
    const own = meters.find(({ id }) => id === meter)
    if (own === undefined || kit.checkStandards.resistor === null) throw new Error('the meter or the standard is gone')
    await client.ask('save-kit', { ...kit, checkStandards: { ...kit.checkStandards, resistor: { ...kit.checkStandards.resistor, ohms: 480, certificateNumber: 'L-9999' } } })
    await client.ask('save-meter', { ...own, register: { ...own.register, certificate: { ...certificate, number: 'L-8888', calibrated: '2026-02-01', due: longDue } } })
    expect((await history()).traceability.traceable).toBe(false)
    await client.ask('save-kit', { ...kit, checkStandards: { resistor: null, diode: null } })
    expect((await history()).traceability.traceable).toBe(false)
    await client.ask('save-kit', kit)
    const before = await history()
    client.close()
    await app.kill()
    app = await startApp([], folder)
    client = await openClient(app.address)
    expect(await history()).toEqual(before)
    expect(before.checks.map((each) => each.good)).toEqual([true, true, false, true])
    // The only commands that speak of checks: one measures, the other reads.
    expect(Object.keys(commands).filter((name) => /check/.test(name)).sort()).toEqual(['check-history', 'check-meter', 'closing-check'])
  })

  it('a good check of the same standard frees it; the runs before stay under review', async () => {
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A', meter })
    await client.ask('confirm-meter', { meter })
    await check(['470.1', '470.2'], 1)
    const { traceability, review } = await history()
    expect(traceability).toEqual({ traceable: true, functions: ['resistance', 'diode'] })
    expect(review.total).toBe(1)
  })

  it('a failing touch counts though its check is put aside before it is decided, and though the app is killed in it', async () => {
    const failing = async (): Promise<string> => {
      const { run } = await client.ask('check-meter', {})
      await client.until('bench', (bench) => bench?.run === run)
      await touch('RES', ['RES 0.2 Ohm A', 'RES 0.3 Ohm A'])
      await touch('RES', ['RES 480.1 Ohm A', 'RES 480.2 Ohm A'])
      expect(at()).toBe('check/resistor')
      return run
    }
    const of = async (run: string) => (await history()).checks.filter((each) => each.run === run).map((each) => [each.standard.kind, each.good])
    await client.ask('close-run', {})
    const aside = await failing()
    await client.ask('close-run', {})
    expect((await history()).traceability.traceable).toBe(false)
    expect(await of(aside)).toEqual([['resistor', false]])
    const cut = await failing()
    client.close()
    await app.kill()
    app = await startApp([], folder)
    client = await openClient(app.address)
    expect(await of(cut)).toEqual([['resistor', false]])
    // Taken up and ended, it is there once.
    await client.ask('open-run', { run: cut })
    await client.ask('end', { reason: 'enough' })
    expect(await of(cut)).toEqual([['resistor', false]])
  })
})
