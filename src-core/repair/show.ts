/** Makes the repair screen of one unit from its runs: it judges nothing anew. */
import type { BoardType } from '../board/board-type'
import type { Part } from '../board/part'
import { pinInWords, stateInWords } from '../board/part-state'
import { isFail } from '../run/branch'
import { concludedOneOfSeveral } from '../run/concluded'
import { standingTouch } from '../run/standing'
import { stepState } from '../run/state'
import { doneWords, verdictWords } from '../run/result-words'
import { watchInWords } from '../run/watch-words'
import { valueInWords } from '../run/words'
import { cleanStep, coolStep } from './again'
import { stepsToMakeAgain, type History } from './cleared'
import { closingGround, refusalToClose } from './close'
import { refusalToTestAlone } from './donor'
import { closings } from './entry'
import { entryInWords } from './entry-words'
import { coolUtcOf, keptBeside, refusalBeside, refusalToFollow } from './follow'
import { entriesOf, refusalToLog, stateAfterRepairs, struckOf, type Logged } from './log'
import { cautionsOfPower } from './prove'
import { knownInWords, unitOfValue } from './substitute'
import type { RepairView } from './view'

const partView = (part: Part): RepairView['parts'][number] => ({
  ref: part.ref, what: part.what ?? part.kind, pins: Object.keys(part.pins).map((pin) => ({ pin, words: pinInWords(part.ref, pin) })),
  unit: unitOfValue(part), known: knownInWords(part), marking: part.ratings?.marking ?? '', notAlone: refusalToTestAlone(part),
})

const photographsOf = ({ entry }: Logged): RepairView['entries'][number]['photographs'] => entry.photographs.map(({ when, sha256, type }) => ({ when, asset: `/pictures/${sha256}.${type}` }))

const entryView = (logged: Logged, struck: string | null): RepairView['entries'][number] => {
  const { seq, utc, entry } = logged
  return {
    seq, utc, part: entry.part, action: entry.action, words: entryInWords({ ...entry, fitted: entry.fitted === null ? null : { ...entry.fitted, judged: [] } }), judged: entry.fitted?.judged ?? [], by: entry.by,
    photographs: photographsOf(logged), struck,
  }
}

/** What this run was told of the repairs before it, with the photographs that lie in the runs they were logged on. */
const beforeOf = (history: History): RepairView['before'] => {
  const logged = history.slice(0, -1).flatMap(({ state }) => entriesOf(state))
  return (history.at(-1)?.state.started.follows?.repairs ?? []).map((told) => ({
    ...told, photographs: logged.filter(({ utc, entry }) => utc === told.at && entry.part === told.part).flatMap(photographsOf),
  }))
}

const valuesOf = (history: History): RepairView['values'] => {
  const titles = new Map(history.flatMap(({ plan }) => plan.steps.flatMap((step) => (step.id === cleanStep || step.id === coolStep || step.kind === 'do' ? [] : [[step.id, step] as const]))))
  return [...titles].flatMap(([id, { title, kind }]) => {
    const made = history.map(({ state }) => {
      const own = stepState(state, id)
      const touch = standingTouch(own)
      if (own.decided === null) return null
      const value = own.watched !== null ? watchInWords(own.watched) : touch === null ? (own.done === null ? '' : doneWords(kind, own.done.note ?? null)) : valueInWords(touch.value, touch.function, touch.unit, touch.resolution)
      return { value, verdict: own.decided.verdict }
    })
    return made.every((one) => one === null) ? [] : [{ id, title, made }]
  })
}

/** What each step came to when it was first made on this unit: "0.02 Ω, fail". */
export const firstValuesOf = (history: History): Record<string, string> => Object.fromEntries(valuesOf(history).flatMap(({ id, made }) => {
  const first = made.find((one) => one !== null)
  return first === undefined ? [] : [[id, [first.value, first.verdict === null ? '' : verdictWords[first.verdict]].filter((words) => words !== '').join(', ')]]
}))

/** The first part of the first step that failed in the latest run, but for those the log has by now; none where several read the same: the readings do not say which. */
const pointedAt = (board: BoardType, { state, plan }: History[number]): string | null => {
  if (concludedOneOfSeveral(state)) return null
  const logged = entriesOf(state).map(({ entry }) => entry.part)
  const failed = plan.steps.filter(({ id }) => { const { decided } = stepState(state, id); return decided !== null && isFail(decided.verdict) })
  return failed.flatMap(({ parts }) => parts).find((ref) => !logged.includes(ref) && board.parts.some((part) => part.ref === ref)) ?? null
}

/** @param board as its file has it. @param donors runs of loose parts for this board type. */
export const repairViewOf = (board: BoardType, history: History, donors: RepairView['donors']): RepairView | null => {
  const latest = history.at(-1)
  if (latest === undefined) return null
  const { state: run, plan } = latest
  const refusal = refusalToLog(run, plan)
  const closed = history.flatMap(({ state }) => state.events.flatMap((event) => (event.kind === 'closed' ? [event] : []))).at(-1)
  const asked = stepsToMakeAgain(board, history)
  return {
    run: run.started.run, board: { id: board.id, name: board.name, revision: board.revision }, serialNumber: run.started.serialNumber, practice: run.started.practice !== undefined, refusal,
    parts: board.parts.map(partView), suggested: pointedAt(board, latest), state: stateInWords(stateAfterRepairs(plan, run)),
    entries: [...entriesOf(run).map((logged) => entryView(logged, null)), ...struckOf(run).map(({ logged, because }) => entryView(logged, because))].sort((a, b) => a.seq - b.seq),
    before: beforeOf(history),
    runs: history.map(({ state: { started, ended } }) => ({ run: started.run, startedUtc: started.utc, verdict: ended?.verdict ?? null, because: ended?.because ?? '', purpose: started.follows?.purpose ?? 'first' })),
    values: valuesOf(history),
    again: {
      affected: { refusal: refusalToFollow(board, history, 'affected'), steps: board.sequence.steps.flatMap(({ id, title }) => (asked.includes(id) ? [title] : [])), alone: refusalBeside(board, history, 'affected') },
      whole: { refusal: refusalToFollow(board, history, 'whole'), alone: refusalBeside(board, history, 'whole') },
      beside: keptBeside(history),
      prove: { refusal: refusalToFollow(board, history, 'prove'), cautions: cautionsOfPower(board) },
      coolUtc: coolUtcOf(latest),
    },
    donors, closings: closings.map((as) => ({ as, refusal: refusal !== null && closed === undefined ? refusal : refusalToClose(board, history, as), ground: closingGround(history, as) })),
    closed: closed === undefined ? null : { as: closed.as, because: closed.because, by: closed.by, utc: closed.utc },
  }
}
