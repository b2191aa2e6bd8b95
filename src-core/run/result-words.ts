/** What a result is told in, on the screen and on paper alike: functions, verdicts, evidence, and what was done where nothing is measured. */
import type { Step } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'
import type { evidence } from './event'
import type { RunVerdict } from './run-list'
import type { StepRow } from './view'

export type StepVerdict = NonNullable<StepRow['verdict']>

/** What was measured. What the dial is turned to has words of its own. */
export const functionWords: Record<MeterFunction, string> = {
  'dc-voltage': 'DC voltage', 'ac-voltage': 'AC voltage', resistance: 'resistance', continuity: 'continuity', diode: 'diode test', capacitance: 'capacitance',
  inductance: 'inductance', frequency: 'frequency', temperature: 'temperature', 'dc-current': 'DC current', 'ac-current': 'AC current',
}

export const verdictWords: Record<StepVerdict | 'skipped', string> = {
  pass: 'pass', 'conditional-pass': 'conditional pass', 'conditional-fail': 'conditional fail', fail: 'fail', doubtful: 'doubtful', 'not-judged': 'not judged', skipped: 'skipped',
}

export const runVerdictWords: Record<RunVerdict, string> = { pass: 'pass', fail: 'fail', 'beyond-repair': 'beyond repair', incomplete: 'incomplete' }

export const evidenceWords: Record<(typeof evidence.options)[number], string> = {
  steady: 'steady', moving: 'still moving', confirmed: 'confirmed by a press', proven: 'proven on a second point', typed: 'typed by hand',
}

/** Of a step that the leads never reached. */
export const notReachedWords = 'not reached'

/** Of a step in which something is looked at or done. @param note what was seen or said; null: nothing. */
export const doneWords = (kind: Step['kind'] | 'unknown', note: string | null): string => note ?? (kind === 'look' ? 'looked at' : 'done')
