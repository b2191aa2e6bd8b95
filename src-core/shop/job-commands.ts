/** What a screen asks of jobs, and what comes back. */
import { z } from 'zod'
import { oneLine } from '../quantity/printable'
import { recordExportKinds } from '../record/commands'
import { job, jobEntry, jobView, nextOfJob } from './job'

const id = z.uuid()
const boards = { board: z.string().min(1).max(40), revision: z.string().min(1).max(20), serials: z.string().max(50_000) }

export const jobCommands = {
  'list-jobs': { input: z.strictObject({}), output: z.strictObject({ jobs: z.array(jobEntry) }) },
  'read-job': { input: z.strictObject({ job: id }), output: jobView },
  'open-job': { input: z.strictObject({ customer: job.shape.customer, name: job.shape.name, received: job.shape.received, conditionAsReceived: job.shape.conditionAsReceived, ...boards }), output: jobView },
  'add-to-job': { input: z.strictObject({ job: id, ...boards }), output: jobView },
  'change-job': { input: z.strictObject({ job: id, paused: z.boolean().optional(), handsFree: z.boolean().optional() }), output: jobView },
  /** Units go into a job of their own, with their runs. */
  'split-job': { input: z.strictObject({ job: id, units: z.array(id).min(1), name: oneLine(80).min(1) }), output: jobView },
  /** The next unit of the queue, or this one (again). */
  'start-of-job': { input: z.strictObject({ job: id, unit: id.optional(), byEye: z.boolean().optional() }), output: z.strictObject({ run: z.string() }) },
  /** What follows on the run on the bench, where that is of a job that is not paused and has boards left. */
  'next-of-job': { input: z.strictObject({}), output: z.strictObject({ next: nextOfJob.nullable() }) },
  /** The summary as CSV, and the job's records as one file where any were issued. */
  'export-job': { input: z.strictObject({ job: id, as: z.enum(recordExportKinds) }), output: z.strictObject({ files: z.array(z.strictObject({ path: z.string(), name: z.string() })) }) },
} as const
