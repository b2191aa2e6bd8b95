/** The meter's figure in boxes of fixed width, with its unit: the largest thing on the screen it stands on. */
import type { JSX } from 'react'
import type { LiveView } from '../../src-core/run/view'
import { digitBoxes, isOverload } from '../bench/digit-boxes'

/** Figures of the widest common display: 50,000 counts. */
const usualDigits = 5

export const LiveFigure = ({ reading }: { reading: LiveView['reading'] }): JSX.Element => {
  const boxes = digitBoxes(reading?.figure ?? '—', usualDigits)
  return (
    <div
      className="figure" data-testid="live-reading" data-function={reading?.function ?? ''} data-flags={reading?.flags.join(' ') ?? ''}
      data-overload={reading !== null && isOverload(reading.figure) ? 'true' : 'false'}
    >
      <span className={reading === null ? 'figure-boxes figure-none' : 'figure-boxes'}>
        {boxes.map((one, at) => <span key={boxes.length - at} className={`box box-${one.kind}`}>{one.text}</span>)}
      </span>{' '}
      <span className="figure-unit">{reading?.unit ?? ''}</span>
    </div>
  )
}
