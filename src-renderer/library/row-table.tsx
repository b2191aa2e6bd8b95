/** A table of lines that are typed, added and taken out. */
import type { JSX, ReactNode } from 'react'

type Props<R> = {
  caption: ReactNode
  columns: readonly string[]
  rows: readonly R[]
  change: (rows: R[]) => void
  blank: R
  /** "Add a range" */
  addWords: string
  /** "range": names a line to who cannot see the table. */
  lineName: string
  most: number
  cells: (row: R, set: (part: Partial<R>) => void, line: string) => JSX.Element[]
}

export const RowTable = <R,>({ caption, columns, rows, change, blank, addWords, lineName, most, cells }: Props<R>): JSX.Element => (
  <div className="row-table">
    {rows.length === 0 ? <p className="aside">{caption}</p> : (
      <table className="figures">
        <caption>{caption}</caption>
        <thead>
          <tr>
            {columns.map((column) => <th key={column} scope="col">{column}</th>)}
            <th scope="col"><span className="unseen">Take out</span></th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row, at) => {
            const line = `${lineName} ${at + 1}`
            const set = (part: Partial<R>): void => change(rows.map((each, other) => (other === at ? { ...each, ...part } : each)))
            return (
              <tr key={at}>
                {cells(row, set, line).map((cell, column) => <td key={column}>{cell}</td>)}
                <td>
                  <button
                    type="button" className="quiet-act" aria-label={`Take out ${line}`}
                    onClick={() => change(rows.filter((_, other) => other !== at))}
                  >
                    take out
                  </button>
                </td>
              </tr>
            )
          })}
        </tbody>
      </table>
    )}
    <button type="button" className="quiet-act" disabled={rows.length >= most} onClick={() => change([...rows, rows.at(-1) === undefined ? blank : { ...blank, ...likeLast(rows) }])}>
      {addWords}
    </button>
  </div>
)

/** A new line is mostly of the function of the one above. */
const likeLast = <R,>(rows: readonly R[]): Partial<R> => {
  const last = rows.at(-1)
  return typeof last === 'object' && last !== null && 'function' in last ? ({ function: last.function } as unknown as Partial<R>) : {}
}
