/** The worker: whatever takes longer than the serial loop may be held up. Reads and checks the library's files; finds shortest ways; tabulates faults; proposes descriptions; seals records; diagnoses the run; computes limits and what the placements read. */
import { parentPort } from 'node:worker_threads'
import { z } from 'zod'
import { boardType } from '../../src-core/board/board-type'
import { boardWithLimits, computedLimits } from '../../src-core/circuit/computed-limits'
import { dictionaryOf } from '../../src-core/circuit/dictionary'
import { parseFaults } from '../../src-core/circuit/faults'
import { drivesOfRegister } from '../../src-core/circuit/meter-drive'
import { shortestWay } from '../../src-core/circuit/shortest-way'
import { meterSource, rangeAccuracy } from '../../src-core/meter/register'
import { example } from '../../src-core/meter/teach/example'
import { propose } from '../../src-core/meter/teach/propose'
import { teachSetup } from '../../src-core/meter/teach/setup'
import { createRunDiagnoser } from '../../src-core/run/diagnose-run'
import { diagnosisRequest } from '../../src-core/run/diagnosis-request'
import { answerLimits, limitsRequest } from '../../src-core/run/limits-request'
import { answerPlacements, placementsRequest } from '../../src-core/run/placements-request'
import { ownedBytes, readLibrary } from './library-files'
import { createSealer } from './record/seal-run'
import type { SealQuestion } from './record/sealing'

const work = z.union([
  z.strictObject({ builtIn: z.string(), data: z.string() }),
  diagnosisRequest, limitsRequest, placementsRequest,
  z.strictObject({ board: boardType, faults: z.array(z.string()) }),
  z.strictObject({ tabulate: boardType, sources: z.array(meterSource), ranges: z.array(rangeAccuracy) }),
  z.strictObject({ examples: z.array(example), setup: teachSetup, cannot: z.array(z.string()) }),
  // The service made it from what it keeps; the record made from it is validated.
  z.strictObject({ sealing: z.custom<SealQuestion>((question) => typeof question === 'object' && question !== null) }),
])

const diagnosed = createRunDiagnoser()
const sealed = createSealer()

parentPort?.on('message', (message: unknown) => {
  const asked = work.parse(message)
  if ('readings' in asked) {
    parentPort?.postMessage({ key: asked.key, view: diagnosed(asked) })
    return
  }
  if ('placementsOf' in asked) {
    parentPort?.postMessage(answerPlacements(asked))
    return
  }
  if ('limitsOf' in asked) {
    parentPort?.postMessage(answerLimits(asked))
    return
  }
  if ('board' in asked) {
    const parsed = parseFaults(asked.board, asked.faults)
    if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
    parentPort?.postMessage(shortestWay(boardWithLimits(asked.board, computedLimits(asked.board)), parsed.faults))
    return
  }
  if ('tabulate' in asked) {
    const dictionary = dictionaryOf(asked.tabulate, { drives: drivesOfRegister(asked) })
    parentPort?.postMessage(dictionary, [dictionary.values.buffer as ArrayBuffer])
    return
  }
  if ('sealing' in asked) {
    const answer = sealed(asked.sealing)
    parentPort?.postMessage(answer, 'issued' in answer ? [answer.issued.bytes.buffer] : [])
    return
  }
  if ('examples' in asked) {
    parentPort?.postMessage(propose(asked.examples, asked.setup, asked.cannot, () => performance.now()))
    return
  }
  const { contents, transferList } = ownedBytes(readLibrary(asked.builtIn, asked.data))
  parentPort?.postMessage(contents, transferList)
})
