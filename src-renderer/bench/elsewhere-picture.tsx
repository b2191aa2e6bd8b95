/** The picture while two points are chosen to measure elsewhere: every test point and lifted leg is a button, and those taken bear the lead's mark. */
import { useRef, type CSSProperties, type JSX } from 'react'
import type { DiagnosisView } from '../../src-core/run/diagnosis-view'
import type { BenchView } from '../../src-core/run/view'
import { letGo } from '../keys/let-go'
import { BoardPicture } from '../picture/board-picture'
import { shadesOnBench } from '../picture/part-shades'
import { inPanel, pictureView, type Spot } from '../picture/picture-view'
import { usePanelSize } from '../picture/use-panel-size'
import type { Elsewhere, ElsewherePoint } from './use-elsewhere'

const button = 30
const at = ({ x, y }: Spot): CSSProperties => ({ transform: `translate(${x - button / 2}px, ${y - button / 2}px)` })

type Props = { picture: BenchView['picture']; diagnosis: DiagnosisView | null; chosen: Elsewhere }

export const ElsewherePicture = ({ picture, diagnosis, chosen }: Props): JSX.Element => {
  const panel = useRef<HTMLDivElement>(null)
  const size = usePanelSize(panel)
  const view = size === null || picture === null || size.width === 0 || size.height === 0 ? null : pictureView(picture, size, [])
  const onPicture = picture === null ? [] : chosen.points.filter(({ shown }) => shown)
  const others = chosen.points.filter((point) => !onPicture.includes(point))
  return (
    <div className="elsewhere-picture">
      <div className="hand-picture" ref={panel}>
        {picture !== null && <BoardPicture picture={picture} label="Board picture: choose two places" points={onPicture.map((point) => ({ ...point, id: point.name }))} shades={shadesOnBench(diagnosis)} />}
        {view !== null && (
          <div className="places" role="group" aria-label="Places on the picture">
            {onPicture.map((point) => <PointButton key={point.id} point={point} chosen={chosen} style={at(inPanel(view, point))} />)}
          </div>
        )}
        {picture === null && <PlainPoints points={others} chosen={chosen} label="Places" />}
      </div>
      {picture !== null && others.length > 0 && <PlainPoints points={others} chosen={chosen} label="Places that are not on this picture" />}
    </div>
  )
}

const PlainPoints = ({ points, chosen, label }: { points: readonly ElsewherePoint[]; chosen: Elsewhere; label: string }): JSX.Element => (
  <div className="places places-plain" role="group" aria-label={label}>
    {points.map((point) => <PointButton key={point.id} point={point} chosen={chosen} />)}
  </div>
)

/** One stop of the Tab key, at the point that the arrows point at. */
const PointButton = ({ point: { id, name, words }, chosen, style }: { point: ElsewherePoint; chosen: Elsewhere; style?: CSSProperties }): JSX.Element => {
  const lead = chosen.red?.id === id ? 'red' : chosen.black?.id === id ? 'black' : null
  const pointed = chosen.pointed?.id === id
  return (
    <button
      type="button" data-point={id} tabIndex={pointed ? 0 : -1} style={style ?? {}}
      className={['place-point', ...(lead === null ? [] : [`chosen-${lead}`]), ...(pointed ? [`pointed pointed-${chosen.lead ?? ''}`] : [])].join(' ')}
      aria-label={`${name}: ${words}${lead === null ? '' : `; ${lead} lead`}`}
      onFocus={() => chosen.point(id)}
      onClick={(event) => {
        letGo(event)
        chosen.take(id)
      }}
    >
      {style === undefined ? `${name}, ${words}` : <span className="unseen">{words}</span>}
    </button>
  )
}
