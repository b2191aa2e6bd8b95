/** One entry of the repair log: what was done to which part, with what, by whom; and what a run is told of the repairs before it. */
import { z } from 'zod'
import { partState } from '../board/part-state'
import { oneLine } from '../quantity/printable'

const name = oneLine(80)
const sha256 = z.string().regex(/^[0-9a-f]{64}$/)

export const repairActions = ['removed', 'replaced', 'lifted', 'jumpered', 'resoldered', 'moved'] as const
export const repairAction = z.enum(repairActions)
export type RepairAction = z.infer<typeof repairAction>

/** What is known of a part in the hand. SI; `seconds`: reverse recovery of a diode, opening time of a fuse; left out: unknown. */
export const partFigures = z.strictObject({
  value: z.number().positive().optional(), tolerance: z.number().min(0).max(1).optional(),
  volts: z.number().positive().optional(), amperes: z.number().positive().optional(), watts: z.number().positive().optional(),
  seconds: z.number().positive().optional(), package: name.min(1).optional(),
})
export type PartFigures = z.infer<typeof partFigures>

/** One property of a substitute held against the original's. */
export const judgedProperty = z.strictObject({
  what: z.enum(['value', 'tolerance', 'volts', 'amperes', 'watts', 'speed', 'package']),
  is: z.enum(['as-good', 'worse', 'unlike', 'unknown']), words: z.string().min(1).max(300),
})
export type JudgedProperty = z.infer<typeof judgedProperty>

/** What was put in. `judged` is empty for a part of the same marking. */
export const fittedPart = z.strictObject({
  marking: name.min(1), same: z.boolean(), figures: partFigures, judged: z.array(judgedProperty).max(7),
  origin: z.union([
    z.strictObject({ kind: z.literal('new') }),
    /** `test`: the run that measured it alone; null: it cannot be measured so. */
    z.strictObject({ kind: z.literal('donor'), board: name.min(1), test: z.uuid().nullable() }),
  ]),
})
export type FittedPart = z.infer<typeof fittedPart>

export const photograph = z.strictObject({ when: z.enum(['before', 'after']), sha256, type: z.enum(['jpg', 'png']) })
export type Photograph = z.infer<typeof photograph>
export const mostPhotographs = 8

/** Signature of PNG: RFC 2083, 3.1, from memory. A JPEG begins with its start of image and the first byte of a marker: ITU-T T.81, B.1.1, from memory. */
const signatures = [['png', [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]], ['jpg', [0xff, 0xd8, 0xff]]] as const

/** By how the file begins; null: it is neither, or too short to tell. */
export const photographType = (bytes: Uint8Array): Photograph['type'] | null =>
  signatures.find(([, signature]) => bytes.length > signature.length && signature.every((byte, at) => bytes[at] === byte))?.[0] ?? null

export const repairEntry = z.strictObject({
  part: z.string().min(1).max(40),
  /** The leg that was lifted or soldered; null: the whole part. */
  pin: z.string().min(1).max(20).nullable(),
  action: repairAction,
  /** The pad it was moved to, of the same net; null for anything else. */
  to: name.min(1).nullable(),
  fitted: fittedPart.nullable(),
  by: name.min(1), note: z.string().max(500),
  photographs: z.array(photograph).max(mostPhotographs),
})
export type RepairEntry = z.infer<typeof repairEntry>

export const closings = ['repaired', 'no-fault-found', 'beyond-repair', 'returned'] as const
export const closing = z.enum(closings)
export type Closing = z.infer<typeof closing>

/** What a run that follows another one of the same unit is told of it. */
export const followsRun = z.strictObject({
  run: z.uuid(),
  /** `affected`: the steps that see what was repaired; `whole`: the sequence; `prove`: supply resistance and power-up. */
  purpose: z.enum(['affected', 'whole', 'prove']),
  /** Ids of the steps of the board file that are made; missing: all of them. */
  steps: z.array(z.string().min(1)).optional(),
  /** Of the board as this run finds it. */
  state: z.array(partState).max(200),
  /** All that was done to this unit so far, oldest first, for the record. */
  repairs: z.array(z.strictObject({ part: z.string(), what: z.string().max(2000), at: z.iso.datetime(), by: z.string() })).max(500),
  /** Before this nothing is measured: what was soldered last is still warm. Null: nothing was. */
  coolUtc: z.iso.datetime().nullable(),
})
export type FollowsRun = z.infer<typeof followsRun>
