/** npm run bench: one figure a line, `name value unit`; names after `--` choose the parts whose names begin so. */
import { decodeFigures } from './decode-figures'
import { dictionaryFigures } from './dictionary-figures'
import { diagnosisFigures, nextFigures } from './diagnosis-figures'
import { appendCommand, askCommand, askHistory, appendHistory, fillHistory, fillHistoryCommand, historyFigures, learntSize, learntSizeCommand } from './history-figures'
import { parseFigures } from './parse-figures'
import { pdfFigures, verifiedFigures } from './record-figures'
import { fillCommand, fillStore, runFigures } from './run-figures'
import { fillLongCommand, fillLongRuns, sealFigures } from './seal-figures'
import { startFigures } from './start-figures'
import { touchFigures } from './touch-figures'
import { verdictFigures } from './verdict-figures'

export type Figure = { name: string; value: number; unit: string }

const seed = Number(process.env.SEED ?? 20_260)
const touchesEach = Number(process.env.TOUCHES ?? 3000)
const boards = Number(process.env.BOARDS ?? 1000)

const parts: { prefix: string; measure: () => Figure[] | Promise<Figure[]> }[] = [
  { prefix: 'parse.', measure: () => parseFigures(seed) },
  { prefix: 'decode.', measure: () => decodeFigures(seed) },
  { prefix: 'runs.', measure: () => runFigures(seed) },
  { prefix: 'history.', measure: () => historyFigures(seed) },
  { prefix: 'record.verified_', measure: () => verifiedFigures() },
  { prefix: 'record.pdf_', measure: () => pdfFigures() },
  { prefix: 'record.seal_', measure: () => sealFigures() },
  { prefix: 'verdict.', measure: () => verdictFigures() },
  { prefix: 'diagnosis.', measure: () => diagnosisFigures(seed, boards) },
  { prefix: 'next.', measure: () => nextFigures(seed) },
  { prefix: 'touch.', measure: () => touchFigures(seed, touchesEach) },
  { prefix: 'dictionary.', measure: () => dictionaryFigures(seed) },
  { prefix: 'start.', measure: () => startFigures() },
]

const asked = process.argv.slice(2)
const wanted = (prefix: string): boolean => asked.length === 0 || asked.some((name) => name.startsWith(prefix) || prefix.startsWith(name))

const main = async (): Promise<void> => {
  const [command, folder, count, seedOrSteps] = asked
  if (command === fillCommand && folder !== undefined) return fillStore(folder, Number(count), Number(seedOrSteps))
  if (command === fillLongCommand && folder !== undefined) return fillLongRuns(folder, Number(count), Number(seedOrSteps))
  if (command === fillHistoryCommand && folder !== undefined) return fillHistory(folder, Number(count), Number(seedOrSteps))
  if (command === appendCommand && folder !== undefined && count !== undefined) return appendHistory(folder, count, Number(seedOrSteps))
  if (command === askCommand && folder !== undefined) return askHistory(folder, Number(count), Number(seedOrSteps))
  if (command === learntSizeCommand && folder !== undefined) return learntSize(folder)
  const chosen = parts.filter((part) => wanted(part.prefix))
  if (chosen.length === 0) {
    process.stderr.write(`There is no figure ${asked.join(', ')}. Names begin with ${parts.map((part) => part.prefix).join(', ')}\n`)
    process.exitCode = 1
    return
  }
  process.stderr.write(`seed ${seed}\n`)
  for (const part of chosen) {
    for (const { name, value, unit } of await part.measure()) {
      if (asked.length === 0 || asked.some((each) => name.startsWith(each))) process.stdout.write(`${name} ${value} ${unit}\n`)
    }
  }
}

void main().catch((error: unknown) => {
  process.stderr.write(`${error instanceof Error ? error.stack ?? error.message : String(error)}\n`)
  process.exitCode = 1
})
