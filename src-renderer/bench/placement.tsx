/** The picture beside the prompt: the board with both tips, or the fixture the leads go to. */
import type { JSX } from 'react'
import { BoardPicture } from '../picture/board-picture'
import { shadesOnBench } from '../picture/part-shades'
import { FixturePicture } from '../picture/fixture-picture'
import type { DiagnosisView } from '../../src-core/run/diagnosis-view'
import { HandBar } from '../practice/hand-bar'
import { HandPicture } from '../practice/hand-picture'
import type { UserHand } from '../practice/use-hand'
import type { BenchView } from '../../src-core/run/view'
import { ElsewherePicture } from './elsewhere-picture'
import type { Elsewhere } from './use-elsewhere'

const labelOf = (step: NonNullable<BenchView['step']>): string =>
  step.red === null || step.black === null
    ? `Board picture for the step “${step.title}”`
    : `Board picture: red lead on ${step.red.words}, black lead on ${step.black.words}`

type Props = { bench: BenchView; diagnosis: DiagnosisView | null; /** In manual practice. */ hand: UserHand | null; /** Two points are being chosen. */ chosen: Elsewhere | null; away: boolean }

export const Placement = ({ bench, diagnosis, hand, chosen, away }: Props): JSX.Element => {
  const { step, picture } = bench
  if (chosen !== null) return <ElsewherePicture picture={picture} diagnosis={diagnosis} chosen={chosen} />
  if (hand !== null) return (
    <div className="hand-bench">
      <HandPicture bench={bench} diagnosis={diagnosis} hand={hand} label={step === null ? 'Board picture' : labelOf(step)} away={away} />
      <HandBar hand={hand} away={away} />
    </div>
  )
  if (step?.fixture) return <FixturePicture fixture={step.fixture} reversed={step.reversed} />
  if (picture === null) return <p className="no-picture">This board type has no picture. The words beside it say where the tips go.</p>
  return (
    <BoardPicture
      picture={picture}
      label={step === null ? 'Board picture' : labelOf(step)}
      red={step?.red ?? null}
      black={step?.black ?? null}
      shades={shadesOnBench(diagnosis)}
    />
  )
}
