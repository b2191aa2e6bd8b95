/** The titles of a table's columns. */
import type { JSX } from 'react'

export const ColumnTitles = ({ titles }: { titles: readonly string[] }): JSX.Element => (
  <>
    {titles.map((title) => (
      <th key={title} scope="col">
        {title}
      </th>
    ))}
  </>
)

/** Of a column that needs no title to be read, only to be heard. */
export const UnseenTitle = ({ title }: { title: string }): JSX.Element => (
  <th scope="col">
    <span className="unseen">{title}</span>
  </th>
)
