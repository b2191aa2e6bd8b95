/** Clean, cool, then measure again: what the repair touches, all of it, or the proof that the board works. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { Sign } from '../app/sign'
import { clockWords } from '../app/words'
import { BesideChoice } from '../start/beside-choice'
import type { RepairView } from '../../src-core/repair/view'

const shownAtMost = 12

export const MeasureAgain = ({ view, away }: { view: RepairView; away: boolean }): JSX.Element | null => {
  const { order, go } = useSession()
  const { affected, whole, prove, coolUtc } = view.again
  const [wished, setWished] = useState<boolean | null>(null)
  const beside = wished ?? view.again.beside
  if (view.closed !== null) return null
  const start = (purpose: 'affected' | 'whole' | 'prove', canBeBeside: boolean) => (): void => {
    go('bench')
    order('measure-again', { run: view.run, purpose, beside: beside && canBeBeside })
  }
  const compared = [affected, whole].some(({ refusal, alone }) => refusal === null && alone === null)
  const alsoAlone = (alone: string | null): string => (beside && alone !== null ? alone : '')
  return (
    <section className="card" aria-labelledby="measure-again">
      <h2 id="measure-again">Measure again</h2>
      <p className="aside">
        Clean first, then let it cool: the bench counts the minutes down.{coolUtc === null ? '' : ` The last joint is cool at ${clockWords(coolUtc).slice(0, 8)}.`}
      </p>
      {compared && <BesideChoice name="again-beside" beside={beside} choose={setWished} />}
      <Choice words="measure what the repair touches" testId="again-affected" refusal={affected.refusal} away={away} start={start('affected', affected.alone === null)}
        says={affected.steps.length === 0 ? '' : `${affected.steps.length} ${affected.steps.length === 1 ? 'step' : 'steps'}: ${affected.steps.slice(0, shownAtMost).join(', ')}${affected.steps.length > shownAtMost ? ' …' : ''}. ${alsoAlone(affected.alone)}`} />
      <Choice words="measure the whole sequence" testId="again-whole" refusal={whole.refusal} away={away} start={start('whole', whole.alone === null)} says={alsoAlone(whole.alone)} />
      <h3>Prove that it works</h3>
      {prove.refusal === null && prove.cautions.map((words) => (
        <p key={words} className="caution">
          <Sign name="warn" /> {words}
        </p>
      ))}
      <Choice words="prove it works" testId="again-prove" refusal={prove.refusal} away={away} start={start('prove', false)} says="The resistance of the supply first, then power from a limited supply." />
    </section>
  )
}

const Choice = ({ words, says, refusal, away, start, testId }: { words: string; says: string; refusal: string | null; away: boolean; start: () => void; testId: string }): JSX.Element => (
  <p className="again-choice">
    <button type="button" className="main-act second" data-testid={testId} disabled={away || refusal !== null} onClick={start}>
      {words}
    </button>
    <span className="aside" data-testid={`${testId}-why`}>{refusal ?? says}</span>
  </p>
)
