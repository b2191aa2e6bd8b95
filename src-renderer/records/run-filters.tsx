/** The fields a list of runs is narrowed by. */
import type { JSX, RefObject } from 'react'
import { runVerdictWords } from '../app/words'
import { boardKey, type Fields } from './run-question'
import type { RunListState } from './use-run-list'

type Props = { list: RunListState; search: RefObject<HTMLInputElement | null>; /** From the search field down to the rows. */ toRows: () => void }

const boardOptions = (boards: RunListState['boards']): { key: string; words: string }[] =>
  [...new Set(boards.map(({ board }) => board))].flatMap((board) => {
    const own = boards.filter((each) => each.board === board)
    const name = own.at(-1)?.name ?? board
    const revisions = own.map(({ revision }) => ({ key: boardKey(board, revision), words: `${name} rev ${revision}` }))
    return own.length > 1 ? [{ key: boardKey(board, null), words: `${name}, all revisions` }, ...revisions] : revisions
  })

export const RunFilters = ({ list, search, toRows }: Props): JSX.Element => {
  const { fields, setFields } = list
  const put = (change: Partial<Fields>): void => setFields({ ...fields, ...change })
  return (
    <form
      className="run-filters"
      role="search"
      aria-label="Find runs"
      onSubmit={(event) => {
        event.preventDefault()
        toRows()
      }}
    >
      <label className="run-search">
        <span>
          Serial number <kbd>/</kbd>
        </span>
        <input
          ref={search}
          type="search"
          data-testid="find-serial"
          value={fields.serialNumber}
          maxLength={80}
          placeholder="any part, typed or scanned"
          autoComplete="off"
          spellCheck={false}
          onChange={(event) => put({ serialNumber: event.target.value })}
          onKeyDown={(event) => {
            if (event.key === 'ArrowDown' || event.key === 'Escape') {
              event.preventDefault()
              toRows()
            }
          }}
        />
      </label>
      <label>
        <span>Board type</span>
        <select data-testid="find-board" value={fields.board} onChange={(event) => put({ board: event.target.value })}>
          <option value="">all</option>
          {boardOptions(list.boards).map(({ key, words }) => (
            <option key={key} value={key}>
              {words}
            </option>
          ))}
        </select>
      </label>
      <label>
        <span>Verdict</span>
        <select data-testid="find-verdict" value={fields.verdict} onChange={(event) => put({ verdict: event.target.value })}>
          <option value="">all</option>
          {Object.entries(runVerdictWords).map(([verdict, words]) => (
            <option key={verdict} value={verdict}>
              {words}
            </option>
          ))}
          <option value="not-ended">not ended</option>
        </select>
      </label>
      <label>
        <span>From</span>
        <input type="date" data-testid="find-from" value={fields.from} onChange={(event) => put({ from: event.target.value })} />
      </label>
      <label>
        <span>To, that day too</span>
        <input type="date" data-testid="find-to" value={fields.to} onChange={(event) => put({ to: event.target.value })} />
      </label>
      <label>
        <span>Practice</span>
        <select data-testid="find-practice" value={fields.practice} onChange={(event) => put({ practice: event.target.value === 'real' || event.target.value === 'practice' ? event.target.value : '' })}>
          <option value="">with practice</option>
          <option value="real">without practice</option>
          <option value="practice">only practice</option>
        </select>
      </label>
    </form>
  )
}
