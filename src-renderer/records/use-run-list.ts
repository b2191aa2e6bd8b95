/** The list of runs as it is on screen: asked for whenever the fields or the runs change, a page more on demand. */
import { useEffect, useRef, useState } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import type { RunEntry, RunPage } from '../../src-core/run/run-list'
import { noFields, questionOf, type Fields } from './run-question'

type Boards = { board: string; revision: string; name: string }[]
type Answer = RunPage & { to: string }

export type RunListState = {
  fields: Fields
  setFields: (fields: Fields) => void
  rows: readonly RunEntry[]
  total: number
  hasMore: boolean
  more: () => void
  /** No answer to these fields yet. */
  busy: boolean
  /** Nothing was ever answered. */
  fresh: boolean
  fault: string | null
  again: () => void
  boards: Boards
  /** The row the keys act on. */
  cursor: number
  setCursor: (row: number) => void
  marked: readonly RunEntry[]
  mark: (run: RunEntry) => void
  unmarkAll: () => void
}

/** A hand that types on asks once. */
const typingMs = 120

/** A first page read anew stands before what was loaded behind it; what it left out is gone. */
export const withFirstPage = (before: readonly RunEntry[], first: RunPage): RunEntry[] => {
  const last = first.runs.at(-1)
  if (first.next === null || last === undefined) return first.runs
  const behind = (run: RunEntry): boolean => run.startedUtc < last.startedUtc || (run.startedUtc === last.startedUtc && run.run < last.run)
  return [...first.runs, ...before.filter(behind)]
}

export const useRunList = (): RunListState => {
  const { call } = useSession()
  const runs = useApp((state) => state.runs)
  const lost = useLost()
  const [fields, setFields] = useState(noFields)
  const [answer, setAnswer] = useState<Answer | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  const [tries, setTries] = useState(0)
  const [boards, setBoards] = useState<Boards>([])
  const [cursor, setCursor] = useState(0)
  const [marked, setMarked] = useState<readonly RunEntry[]>([])
  const question = JSON.stringify(questionOf(fields))
  const asked = useRef('')

  useEffect(() => {
    if (lost) return
    let over = false
    const wait = asked.current === '' || asked.current === question ? 0 : typingMs
    asked.current = question
    const timer = setTimeout(() => {
      Promise.all([call('list-runs', JSON.parse(question) as ReturnType<typeof questionOf>), call('boards-with-runs', {})]).then(
        ([page, made]) => {
          if (over) return
          setBoards(made.boards)
          setFault(null)
          setAnswer((before) => {
            if (before === null || before.to !== question) return { ...page, to: question }
            const all = withFirstPage(before.runs, page)
            return { ...page, to: question, runs: all, next: all.length > page.runs.length ? before.next : page.next }
          })
        },
        (error: Error) => { if (!over) setFault(error.message) },
      )
    }, wait)
    return () => {
      over = true
      clearTimeout(timer)
    }
  }, [call, question, runs, lost, tries])

  const more = (): void => {
    const next = answer?.next ?? null
    if (answer === null || next === null || answer.to !== question) return
    call('list-runs', { ...questionOf(fields), after: next }).then(
      (page) => setAnswer((before) => {
        const stands = before !== null && before.to === question && before.next?.run === next.run
        return stands ? { ...page, to: question, runs: [...before.runs, ...page.runs] } : before
      }),
      (error: Error) => setFault(error.message),
    )
  }

  const rows = answer?.runs ?? []
  return {
    fields, rows, total: answer?.total ?? 0, hasMore: (answer?.next ?? null) !== null, more,
    setFields: (next) => {
      setFields(next)
      setCursor(0)
    },
    busy: answer?.to !== question, fresh: answer === null, fault,
    again: () => {
      setFault(null)
      setTries((n) => n + 1)
    },
    boards, cursor: Math.min(cursor, Math.max(0, rows.length - 1)), setCursor, marked,
    mark: (run) => setMarked((before) => (before.some((each) => each.run === run.run) ? before.filter((each) => each.run !== run.run) : [...before, run])),
    unmarkAll: () => setMarked([]),
  }
}
