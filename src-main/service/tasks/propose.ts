/** The worker's part of teaching: proposes a description from what was heard and typed. */
import { z } from 'zod'
import { example } from '../../../src-core/meter/teach/example'
import { propose } from '../../../src-core/meter/teach/propose'
import { teachSetup } from '../../../src-core/meter/teach/setup'
import type { Done } from '../worker'

const taught = z.strictObject({ examples: z.array(example), setup: teachSetup, cannot: z.array(z.string()) })

export const proposeDescription = (of: unknown): Done => {
  const { examples, setup, cannot } = taught.parse(of)
  return { answer: propose(examples, setup, cannot, () => performance.now()) }
}
