/** JSON Schemas of the files that people write or receive, made from the app's own: an editor helps with them, and the app trusts only its own check. */
import { z } from 'zod'
import { boardType } from './board/board-type'
import { readingsFile } from './circuit/readings-file'
import { meterDescription } from './meter/description'
import { jobStatementSchema, recordSchema } from './record/schema'

const files = [
  { name: 'meter-description', title: 'Meter description: how to talk to a kind of meter', schema: meterDescription },
  { name: 'board-type', title: 'Board type: nets, parts, test points and the sequence of one board', schema: boardType },
  { name: 'readings', title: 'Readings file: measured values of one board, for diagnosis', schema: readingsFile },
  { name: 'test-record', title: 'Test record: the signed result of a run', schema: recordSchema },
  { name: 'job-statement', title: 'Job statement: the signed list of the records of a job', schema: jobStatementSchema },
]

/** Draft 7, which every editor knows. Rules that span several fields are not in it. */
export const fileSchemas = (): { name: string; schema: Record<string, unknown> }[] =>
  files.map(({ name, title, schema }) => ({ name, schema: { ...z.toJSONSchema(schema, { io: 'input', target: 'draft-7', reused: 'ref' }), title } }))
