/** The worker's part of issuing: one run at a time, piece by piece. */
import { createSealer } from '../record/seal-run'
import type { SealQuestion } from '../record/sealing'
import type { Done } from '../worker'

const sealed = createSealer()

/** The service made the question from what it keeps; the record made from it is validated. */
export const sealRecords = (of: unknown): Done => {
  const answer = sealed(of as SealQuestion)
  return { answer, hand: 'issued' in answer ? [answer.issued.bytes.buffer] : [] }
}
