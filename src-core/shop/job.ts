/** Jobs: a customer's batch of boards, the order they come to the bench in, and how far it is. */
import { z } from 'zod'
import { oneLine } from '../quantity/printable'

export const jobUnit = z.strictObject({ unit: z.uuid(), board: z.string().min(1).max(40), revision: z.string().min(1).max(20), serialNumber: oneLine(80) })
export type JobUnit = z.infer<typeof jobUnit>

export const mostUnits = 500

export const job = z.strictObject({
  id: z.uuid(), customer: oneLine(200), name: oneLine(80).min(1), received: z.iso.date().nullable(), conditionAsReceived: z.string().max(1000),
  opened: z.iso.datetime(), paused: z.boolean(),
  /** The next board follows by itself once the leads are off a board that passed. */
  handsFree: z.boolean(),
  units: z.array(jobUnit).max(mostUnits),
})
export type Job = z.infer<typeof job>

/** Serial numbers as they are typed, scanned or pasted: a line, a comma, a semicolon or a tab between; each once. */
export const serialsIn = (text: string): { serials: string[]; repeated: string[] } => {
  const typed = text.split(/[\n\r,;\t]+/).map((one) => one.trim()).filter((one) => one !== '')
  const serials = [...new Set(typed)]
  return { serials, repeated: [...new Set(typed.filter((one, at) => typed.indexOf(one) !== at))] }
}

/** Why these serial numbers cannot be taken into a job, in a sentence; null: they can. */
export const serialsRefused = (text: string, present: readonly JobUnit[]): string | null => {
  const { serials, repeated } = serialsIn(text)
  const long = serials.find((one) => one.length > 80)
  const there = serials.filter((one) => present.some(({ serialNumber }) => serialNumber === one))
  if (serials.length === 0) return 'There is no serial number. Type, scan or paste one a line.'
  if (repeated.length > 0) return `${repeated.slice(0, 3).join(', ')} ${repeated.length === 1 ? 'stands' : 'stand'} there twice. Take ${repeated.length === 1 ? 'it' : 'them'} out once.`
  if (there.length > 0) return `${there.slice(0, 3).join(', ')} ${there.length === 1 ? 'is' : 'are'} in this job already. Take ${there.length === 1 ? 'it' : 'them'} out of the list.`
  if (long !== undefined) return `“${long.slice(0, 20)}…” is longer than the 80 characters a serial number may have.`
  return present.length + serials.length > mostUnits ? `A job holds at most ${mostUnits} boards. Open another for the rest.` : null
}

/** The latest run of a unit within its job. `verdict` null: not ended. */
export type UnitRun = { unit: string; run: string; startedUtc: string; verdict: 'pass' | 'fail' | 'beyond-repair' | 'incomplete' | null; /** On the bench; null: not known yet. */ minutes: number | null; record: string | null }

export const unitView = z.strictObject({
  ...jobUnit.shape, name: z.string(), state: z.enum(['waiting', 'under-way', 'pass', 'fail', 'beyond-repair', 'incomplete']),
  run: z.string().nullable(), startedUtc: z.string().nullable(), minutes: z.number().nullable(), record: z.string().nullable(),
})
export type UnitView = z.infer<typeof unitView>

export const jobView = z.strictObject({
  ...job.omit({ units: true }).shape, units: z.array(unitView), done: z.number().int(),
  /** The unit that comes next; null: none waits. */
  next: z.string().nullable(),
  /** Of the boards that are done and known. */
  minutes: z.strictObject({ total: z.number(), mean: z.number() }).nullable(),
})
export type JobView = z.infer<typeof jobView>

export const jobEntry = z.strictObject({ id: z.string(), customer: z.string(), name: z.string(), opened: z.string(), paused: z.boolean(), done: z.number().int(), of: z.number().int() })

export const jobViewOf = ({ units, ...rest }: Job, runs: readonly UnitRun[], nameOf: (board: string, revision: string) => string): JobView => {
  const views = units.map((one): UnitView => {
    const run = runs.findLast(({ unit }) => unit === one.unit) ?? null
    const minutes = runs.filter(({ unit }) => unit === one.unit).reduce<number | null>((sum, own) => (own.minutes === null ? sum : (sum ?? 0) + own.minutes), null)
    return {
      ...one, name: nameOf(one.board, one.revision), state: run === null ? 'waiting' : run.verdict ?? 'under-way', run: run?.run ?? null, startedUtc: run?.startedUtc ?? null, minutes,
      record: run?.record ?? null,
    }
  })
  const done = views.filter(({ state }) => state !== 'waiting' && state !== 'under-way')
  const known = done.flatMap(({ minutes }) => (minutes === null ? [] : [minutes]))
  const total = known.reduce((sum, one) => sum + one, 0)
  return {
    ...rest, units: views, done: done.length, next: views.find(({ state }) => state === 'waiting')?.unit ?? null,
    minutes: known.length === 0 ? null : { total, mean: total / known.length },
  }
}

export const nextOfJob = z.strictObject({ job: z.string(), unit: jobUnit, name: z.string(), /** Its place in the job, from 1. */ at: z.number().int(), of: z.number().int(), /** Serial numbers of all that wait. */ waiting: z.array(z.string()) })
export type NextOfJob = z.infer<typeof nextOfJob>

/** What comes behind a board of this job; null: nothing waits, or it is paused. */
export const nextOfJobOf = ({ name, paused, units, next }: JobView): NextOfJob | null => {
  const at = units.findIndex(({ unit }) => unit === next)
  const found = units[at]
  return paused || found === undefined ? null : {
    job: name, unit: { unit: found.unit, board: found.board, revision: found.revision, serialNumber: found.serialNumber }, name: `${found.name} rev ${found.revision}`, at: at + 1, of: units.length,
    waiting: units.filter(({ state }) => state === 'waiting').map(({ serialNumber }) => serialNumber),
  }
}

/** Which unit of the job is started under what is typed: the next one where that is nothing, else one that waits under that serial number; null: none of this job. */
export const unitStarted = ({ paused, units, next }: JobView, serialNumber: string): UnitView | null => {
  const typed = serialNumber.trim()
  return (paused ? [] : units).find(({ unit, state, serialNumber: own }) => state === 'waiting' && (typed === '' ? unit === next : own === typed)) ?? null
}

/** Whether what is typed starts a board of the job: as `unitStarted`, from what a screen knows. */
export const isOfJob = (next: NextOfJob | null, serialNumber: string): boolean => next !== null && (serialNumber.trim() === '' || next.waiting.includes(serialNumber.trim()))

/** Beside the field of the next serial number, what is typed so far: “Next in B-17: SR-2, Soil relay rev A, board 2 of 3.” */
export const nextOfJobInWords = (next: NextOfJob, serialNumber: string): string => {
  const typed = serialNumber.trim()
  if (typed === '') return `Next in ${next.job}: ${next.unit.serialNumber}, ${next.name}, board ${next.at} of ${next.of}.`
  return isOfJob(next, typed) ? `${typed} waits in ${next.job}, and is started as its board.` : `${typed} does not wait in ${next.job}: it would be started outside it.`
}

/** “GC-2207, Greenhouse Co-operative: 7 of 12 boards done, 4 minutes each.” */
export const jobInWords = ({ name, customer, done, units, minutes }: JobView): string => {
  const each = minutes === null ? '' : `, ${minutes.mean < 1 ? 'under a minute' : `${Math.round(minutes.mean)} ${Math.round(minutes.mean) === 1 ? 'minute' : 'minutes'}`} each`
  return `${name}${customer === '' ? '' : `, ${customer}`}: ${done} of ${units.length} ${units.length === 1 ? 'board' : 'boards'} done${each}.`
}

/** The units that go, into a job of their own under another name. @returns null where none or all would go. */
export const splitJob = (whole: Job, going: readonly string[], other: { id: string; name: string; opened: string }): { stays: Job; goes: Job } | null => {
  const goes = whole.units.filter(({ unit }) => going.includes(unit))
  if (goes.length === 0 || goes.length === whole.units.length) return null
  return { stays: { ...whole, units: whole.units.filter(({ unit }) => !going.includes(unit)) }, goes: { ...whole, ...other, units: goes } }
}
