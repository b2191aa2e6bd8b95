/** JSON Schemas of the files that people write, made from the app's own: an editor helps with them, and the app trusts only its own check. */
import { z } from 'zod'
import { boardType } from './board/board-type'
import { readingsFile } from './circuit/readings-file'
import { meterDescription } from './meter/description'

const files = [
  { name: 'meter-description', title: 'Meter description: how to talk to a kind of meter', schema: meterDescription },
  { name: 'board-type', title: 'Board type: nets, parts, test points and the sequence of one board', schema: boardType },
  { name: 'readings', title: 'Readings file: measured values of one board, for diagnosis', schema: readingsFile },
]

/** Draft 7, which every editor knows. Rules that span several fields are not in it. */
export const fileSchemas = (): { name: string; schema: Record<string, unknown> }[] =>
  files.map(({ name, title, schema }) => ({ name, schema: { ...z.toJSONSchema(schema, { io: 'input', target: 'draft-7', reused: 'ref' }), title } }))
