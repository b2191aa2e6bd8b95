/** The invented board with a walk and a watch, and others like it. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { boardType, type BoardType } from '../../src-core/board/board-type'
import { root } from './running-app'

const lampFolder = join(root, 'fixtures/walked-boards/lamp-dimmer')

/** @param change of the step of that id: other keys in place of its own; `undefined` takes one out. */
export const lampDimmer = (change: Record<string, Record<string, unknown>> = {}): BoardType => {
  const json = JSON.parse(readFileSync(join(lampFolder, 'board.json'), 'utf8')) as { sequence: { steps: { id: string }[] } }
  return boardType.parse({ ...json, sequence: { ...json.sequence, steps: json.sequence.steps.map((step) => JSON.parse(JSON.stringify({ ...step, ...change[step.id] })) as unknown) } })
}

/** A walk without a list: the points are wherever red is put. */
export const unlisted = { walk: { points: undefined } }
/** A watch that a press ends. */
export const untilPressed = { flex: { seconds: undefined } }
