/** The bits of a frame, one column a byte: what each is known to be, and which are on now. */
import type { JSX } from 'react'
import { useApp } from '../app/session'

/** A sign short enough for a cell; the words stand in the legend and in the cell's title. */
const signOf = (words: string): string => {
  const digit = /^digit (\d+)(?:, (.))?/.exec(words)
  if (digit !== null) return `${digit[1] ?? ''}${digit[2] ?? ''}`
  if (words.startsWith('changes')) return '?'
  return { figure: '#', 'minus sign': '−', point: '.', prefix: 'k', function: 'ƒ', 'check value': '✓' }[words] ?? (words.includes('function') ? 'ƒ' : words.slice(0, 2))
}
const legend = '1a … digit and segment · # figure · − sign · . point · k prefix · ƒ function · ✓ check value · ? changes, not explained'

export const BitsCard = ({ length, meaning }: { length: number | null; meaning: readonly [string, string][] }): JSX.Element | null => {
  const row = useApp((state) => state.heard?.rows.at(-1))
  if (length === null || meaning.length === 0) return null
  const words = new Map(meaning)
  const bytes = Array.from({ length }, (_, at) => at)
  return (
    <section className="card" aria-labelledby="bits-title">
      <h2 id="bits-title">What the bits are</h2>
      <div className="bits-scroll" tabIndex={0} role="group" aria-label="Bits of a frame">
        <table className="bits" data-testid="bits">
          <thead>
            <tr>
              <th scope="col"><span className="unseen">Bit</span></th>
              {bytes.map((at) => <th key={at} scope="col">{row?.length === length ? row[at]?.hex : at + 1}</th>)}
            </tr>
          </thead>
          <tbody>
            {[7, 6, 5, 4, 3, 2, 1, 0].map((bit) => (
              <tr key={bit}>
                <th scope="row">{bit}</th>
                {bytes.map((at) => {
                  const is = words.get(`${at}.${bit}`)
                  const on = row?.length === length && ((Number.parseInt(row[at]?.hex ?? '0', 16) >> bit) & 1) === 1
                  return <td key={at} className={`${is === undefined ? 'same' : 'means'}${on ? ' on' : ''}`} title={is ?? 'the same at every display'}>{is === undefined ? (on ? '1' : '0') : signOf(is)}</td>
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="aside">{legend}. What is on now is boxed.</p>
    </section>
  )
}
