/** The parts of a board type; a part that is chosen shows the schematic of what lies about it. */
import { Fragment, useState, type JSX } from 'react'
import type { BoardType } from '../../src-core/board/board-type'
import { Surroundings } from '../diagnosis/surroundings'

export const PartTable = ({ board }: { board: BoardType }): JSX.Element => {
  const [chosen, setChosen] = useState<string | null>(null)
  return (
    <table>
      <caption>Parts. Press a part’s name to see what it is connected to.</caption>
      <thead>
        <tr>
          <th scope="col">Part</th>
          <th scope="col">Kind</th>
          <th scope="col">What it does</th>
          <th scope="col">Pins and nets</th>
        </tr>
      </thead>
      <tbody>
        {board.parts.map(({ ref, kind, what, pins }) => (
          <Fragment key={ref}>
            <tr>
              <th scope="row">
                <button type="button" className="quiet-act" data-testid="part" aria-expanded={chosen === ref} onClick={() => setChosen(chosen === ref ? null : ref)}>
                  {ref}
                </button>
              </th>
              <td>{kind.replaceAll('-', ' ')}</td>
              <td>{what ?? ''}</td>
              <td>{Object.entries(pins).map(([pin, net]) => `${pin}: ${net}`).join(', ')}</td>
            </tr>
            {chosen === ref && <tr><td colSpan={4}><Surroundings board={board} part={ref} /></td></tr>}
          </Fragment>
        ))}
      </tbody>
    </table>
  )
}
