/** The worker's part of what a circuit costs: diagnoses the run, computes limits and what the placements read, finds shortest ways, tabulates faults. */
import { z } from 'zod'
import { boardType } from '../../../src-core/board/board-type'
import { boardWithLimits, computedLimits } from '../../../src-core/circuit/computed-limits'
import { dictionaryOf } from '../../../src-core/circuit/dictionary'
import { parseFaults } from '../../../src-core/circuit/faults'
import { drivesOfRegister } from '../../../src-core/circuit/meter-drive'
import { shortestWay } from '../../../src-core/circuit/shortest-way'
import { meterSource, rangeAccuracy } from '../../../src-core/meter/register'
import { createRunDiagnoser } from '../../../src-core/run/diagnose-run'
import { diagnosisRequest } from '../../../src-core/run/diagnosis-request'
import { answerElsewhere, elsewhereRequest } from '../../../src-core/run/elsewhere-request'
import { answerLimits, limitsRequest } from '../../../src-core/run/limits-request'
import { answerPlacements, placementsRequest } from '../../../src-core/run/placements-request'
import type { Done } from '../worker'

const hidden = z.strictObject({ board: boardType, faults: z.array(z.string()) })
const measured = z.strictObject({ board: boardType, sources: z.array(meterSource), ranges: z.array(rangeAccuracy) })

const diagnoser = createRunDiagnoser()

export const diagnoseRun = (of: unknown): Done => ({ answer: diagnoser.diagnose(diagnosisRequest.parse(of)) })
export const nextAtOnce = (of: unknown): Done => ({ answer: diagnoser.nextAtOnce(diagnosisRequest.parse(of)) })
export const computeLimits = (of: unknown): Done => ({ answer: answerLimits(limitsRequest.parse(of)) })
export const computeElsewhere = (of: unknown): Done => ({ answer: answerElsewhere(elsewhereRequest.parse(of)) })
export const readPlacements = (of: unknown): Done => ({ answer: answerPlacements(placementsRequest.parse(of)) })

export const findShortestWay = (of: unknown): Done => {
  const { board, faults } = hidden.parse(of)
  const parsed = parseFaults(board, faults)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  return { answer: shortestWay(boardWithLimits(board, computedLimits(board)), parsed.faults) }
}

export const tabulate = (of: unknown): Done => {
  const { board, ...register } = measured.parse(of)
  const dictionary = dictionaryOf(board, { drives: drivesOfRegister(register) })
  return { answer: dictionary, hand: [dictionary.values.buffer as ArrayBuffer] }
}
