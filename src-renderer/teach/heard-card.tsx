/** The bytes as they arrive, in hex and as text, one frame a line: what differs from the last typed display stands out by weight and line. */
import type { JSX } from 'react'
import { useApp } from '../app/session'

export const HeardCard = (): JSX.Element => {
  const heard = useApp((state) => state.heard)
  const rows = heard?.rows ?? []
  return (
    <section className="card" aria-labelledby="heard-title">
      <h2 id="heard-title">
        What it sends{' '}
        <span className="aside teach-still" data-testid="teach-still">
          {heard === null || heard.bytes === 0 ? 'nothing yet' : heard.still ? 'the same again and again: the display stands still' : 'it is changing'}
        </span>
      </h2>
      <div className="heard" data-testid="heard" tabIndex={0} role="group" aria-label="Bytes in hex, and as text">
        {rows.length === 0 && <p className="aside">Is the meter on, and its output turned on? Are the port settings right?</p>}
        {rows.map((row, index) => (
          <div key={index} className="heard-row">
            <span className="heard-hex">
              {row.map((byte, at) => (
                <span key={at} className={byte.changed ? 'byte changed' : 'byte'}>
                  {byte.hex}
                </span>
              ))}
            </span>
            <span className="heard-text">
              {row.map((byte, at) => (
                <span key={at} className={byte.changed ? 'changed' : ''}>
                  {byte.text}
                </span>
              ))}
            </span>
          </div>
        ))}
      </div>
    </section>
  )
}
