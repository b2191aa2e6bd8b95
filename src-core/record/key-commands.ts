/** The shop's signing key as a screen may know it: whether there is one and which; its backup, under a passphrase, and its return from one. */
import { z } from 'zod'

const publicKey = z.string().regex(/^[0-9a-f]{64}$/)
/** Typed, used at once, and kept nowhere. */
const passphrase = z.string().min(1).max(400)

/** A backup is under 4 kB. */
const mostBackup = 20_000

export const keyCommands = {
  /** `key` null: no record was ever signed here. `problem`: one is there, and cannot be used. */
  'signing-key': { input: z.strictObject({}), output: z.strictObject({ key: z.strictObject({ publicKey, name: z.string() }).nullable(), problem: z.string().nullable() }) },
  /** The file is fetched once, under `path`, as an export is. */
  'back-up-key': { input: z.strictObject({ passphrase }), output: z.strictObject({ path: z.string(), name: z.string() }) },
  /** `replace`: another key that is there is set aside, never deleted. */
  'restore-key': {
    input: z.strictObject({ backup: z.string().max(mostBackup), passphrase, replace: z.boolean() }),
    /** `asks`: another key is there; nothing was done. */
    output: z.discriminatedUnion('is', [z.strictObject({ is: z.literal('restored'), publicKey, name: z.string() }), z.strictObject({ is: z.literal('asks'), present: publicKey, backup: publicKey })]),
  },
} as const
