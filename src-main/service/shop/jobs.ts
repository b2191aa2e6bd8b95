/** Carries out what a screen asks of jobs, and brings the next board to the bench by itself where a job is hands-free. */
import { randomUUID } from 'node:crypto'
import type { CommandInput, CommandOutput } from '../../../src-core/contract'
import type { Seconds } from '../../../src-core/quantity/units'
import { withoutDust } from '../../../src-core/quantity/plain-figures'
import { recordExportName } from '../../../src-core/record/export'
import type { Bench } from '../../../src-core/run/bench'
import { type Cell, safeText } from '../../../src-core/run/value-table'
import { type Job, jobInWords, type JobUnit, jobViewOf, nextOfJobOf, type JobView, serialsIn, serialsRefused, splitJob, unitStarted } from '../../../src-core/shop/job'
import { type LiftWatch, nextFollows, watchLift } from '../../../src-core/shop/hands-free'
import type { Assets } from '../assets'
import { csvText } from '../csv'
import { Refusal, type Handlers } from '../dispatcher'
import type { LibraryBoard } from '../library-files'
import type { RunStarts } from '../run-starts-around'
import type { JobStore } from '../store/job-store'

type Commands = 'list-jobs' | 'read-job' | 'open-job' | 'add-to-job' | 'change-job' | 'split-job' | 'start-of-job' | 'next-of-job' | 'export-job'
export type Jobs = {
  handlers: Pick<Handlers, Commands>
  /** The job that a run is of; null: of none. */
  jobOf: (run: string) => Job | null
  /**
   * The next board behind the one on the bench. Of a job it is the unit that comes next, or the one that waits under this serial number; any other serial number,
   * and a run of no job, begins a board of the same type outside it. @returns the new run. @throws Refusal where none follows.
   */
  nextBoard: (serialNumber: string, revision: string | undefined) => string
  /** A run was begun behind another one of the same unit: it is of the same job, where that is of one. */
  followed: (run: string, before: string) => void
  close: () => void
}

type Surroundings = {
  store: JobStore; assets: Assets; boards: () => readonly LibraryBoard[]; starts: () => Pick<RunStarts, 'start' | 'nextBoard'>; bench: () => Bench | null; clock: () => Seconds
  /** All records of a job in one file; null: none was issued. */
  records: (job: Job, as: CommandInput<'export-job'>['as']) => Promise<CommandOutput<'export-records'> | null>
  say: (text: string) => void; report: (error: unknown) => void
}

const watchedEveryMs = 200

export const createJobs = ({ store, assets, boards, starts, bench, clock, records, say, report }: Surroundings): Jobs => {
  const found = (id: string): Job => {
    const known = store.read(id)
    if (known === null) throw new Refusal('That job is not in this data folder.')
    return known
  }
  const nameOf = (board: string, revision: string): string => boards().find((each) => each.board.id === board && each.board.revision === revision)?.board.name ?? board
  const viewOf = (job: Job): JobView => jobViewOf(job, store.runs(job.id), nameOf)

  const unitsOf = ({ board, revision, serials }: Pick<CommandInput<'add-to-job'>, 'board' | 'revision' | 'serials'>, present: readonly JobUnit[]): JobUnit[] => {
    const refused = serialsRefused(serials, present)
    if (refused !== null) throw new Refusal(refused)
    if (!boards().some((each) => each.board.id === board && each.board.revision === revision)) throw new Refusal(`There is no board type ${board} revision ${revision}. Choose one from the list.`)
    return serialsIn(serials).serials.map((serialNumber) => ({ unit: randomUUID(), board, revision, serialNumber }))
  }

  const startUnit = (job: Job, unit: JobUnit, byEye: boolean | undefined): string => {
    const { board, revision, serialNumber } = unit
    const run = starts().start({ board, revision, serialNumber, ...(byEye === undefined ? {} : { byEye }) })
    store.link(run, { job: job.id, unit: unit.unit })
    return run
  }

  /** Of the run on the bench, not of one that is only read. */
  const jobOnBench = (): Job | null => {
    const present = bench()
    const id = present === null || present.record ? null : store.jobOf(present.run.started.run)
    return id === null ? null : store.read(id)
  }

  /** Behind the board on the bench, with what that run was made with. */
  const followWith = (job: Job, { unit, board, revision, serialNumber }: JobUnit): string => {
    const run = starts().nextBoard(serialNumber, revision, board)
    store.link(run, { job: job.id, unit })
    return run
  }

  /** Lifts are looked at, not events: a lift that nobody saw brings no board. Nor does a pass behind a repair: that board is still to be closed. */
  let watch: LiftWatch | null = null
  let refusedFor: string | null = null
  const look = (): void => {
    const present = bench()
    if (present === null || present.run.status !== 'ended' || present.record || present.run.started.follows !== undefined) return
    const at = clock()
    watch = watchLift(watch, present, at)
    if (refusedFor === watch.run || !nextFollows(watch, present, at)) return
    const id = store.jobOf(watch.run)
    const job = id === null ? null : store.read(id)
    if (job === null || !job.handsFree || job.paused) return
    const view = viewOf(job)
    const next = job.units.find(({ unit }) => unit === view.next)
    refusedFor = watch.run
    if (next === undefined) {
      say(`${jobInWords(view)} No board of it waits any more.`)
      return
    }
    try {
      followWith(job, next)
      say(`Next board of ${job.name}: ${next.serialNumber}.`)
    } catch (error) {
      if (error instanceof Refusal) say(`The next board did not follow: ${error.message}`)
      else report(error)
    }
  }
  const watching = setInterval(look, watchedEveryMs)
  watching.unref()

  const summaryOf = (view: JobView): Cell[][] => [
    ['job', 'customer', 'received', 'condition_as_received', 'position', 'board', 'board_name', 'revision', 'serial_number', 'state', 'started_utc', 'minutes', 'run', 'record'],
    ...view.units.map((unit, at): Cell[] => [view.name, view.customer, view.received, view.conditionAsReceived, at + 1, unit.board, unit.name, unit.revision, unit.serialNumber, unit.state,
      unit.startedUtc, unit.minutes === null ? null : withoutDust(Number(unit.minutes.toFixed(2))), unit.run, unit.record]),
  ]

  return {
    jobOf: (run) => {
      const id = store.jobOf(run)
      return id === null ? null : store.read(id)
    },
    nextBoard: (serialNumber, revision) => {
      const job = jobOnBench()
      const view = job === null || job.paused ? null : viewOf(job)
      const unit = view === null ? null : unitStarted(view, serialNumber)
      if (job !== null && unit !== null) return followWith(job, unit)
      const run = starts().nextBoard(serialNumber, revision)
      if (view !== null && view.next !== null) say(`${serialNumber} does not wait in ${view.name}: this run is of no job.`)
      return run
    },
    followed: store.linkBehind,
    close: () => { clearInterval(watching) },
    handlers: {
      'list-jobs': () => ({ jobs: store.list().map((job) => {
        const { id, customer, name, opened, paused, done, units } = viewOf(job)
        return { id, customer, name, opened, paused, done, of: units.length }
      }) }),
      'read-job': ({ job }) => viewOf(found(job)),
      'open-job': ({ customer, name, received, conditionAsReceived, ...boardsOf }) => {
        const opened: Job = { id: randomUUID(), customer: customer.trim(), name: name.trim(), received, conditionAsReceived: conditionAsReceived.trim(), opened: new Date().toISOString(), paused: false, handsFree: true, units: unitsOf(boardsOf, []) }
        store.save(opened)
        return viewOf(opened)
      },
      'add-to-job': ({ job, ...boardsOf }) => {
        const before = found(job)
        const after = { ...before, units: [...before.units, ...unitsOf(boardsOf, before.units)] }
        store.save(after)
        return viewOf(after)
      },
      'change-job': ({ job, paused, handsFree }) => {
        const before = found(job)
        const after = { ...before, paused: paused ?? before.paused, handsFree: handsFree ?? before.handsFree }
        store.save(after)
        return viewOf(after)
      },
      'split-job': ({ job, units, name }) => {
        const split = splitJob(found(job), units, { id: randomUUID(), name: name.trim(), opened: new Date().toISOString() })
        if (split === null) throw new Refusal('A job is split into two that each have a board. Choose some of its boards, not all.')
        store.save(split.stays, split.goes)
        return viewOf(split.goes)
      },
      'start-of-job': ({ job, unit, byEye }) => {
        const own = found(job)
        if (own.paused) throw new Refusal(`${own.name} is paused. Resume it first.`)
        const wanted = unit ?? viewOf(own).next
        const next = own.units.find((one) => one.unit === wanted)
        if (next === undefined) throw new Refusal('No board of this job waits any more.')
        return { run: startUnit(own, next, byEye) }
      },
      'next-of-job': () => {
        const job = jobOnBench()
        return { next: job === null ? null : nextOfJobOf(viewOf(job)) }
      },
      'export-job': async ({ job, as }) => {
        const own = found(job)
        const issued = await records(own, as)
        const name = recordExportName([], own.name, '.csv').replace('_records', '_summary')
        const bytes = Buffer.from(csvText(summaryOf(viewOf(own)).map((row) => row.map((cell) => (typeof cell === 'string' ? safeText(cell) : cell)))), 'utf8')
        const path = assets.offer({ name, type: 'text/csv; charset=utf-8', bytes })
        if (path === null) throw new Refusal('Exports that nobody has fetched leave no room for another. Try again in five minutes.')
        return { files: [{ path, name }, ...(issued === null ? [] : [issued])] }
      },
    },
  }
}
