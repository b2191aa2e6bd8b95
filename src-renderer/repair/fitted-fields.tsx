/** What was put in for a part: of the same marking, or a substitute held against the original; new, or from a donor board and measured alone first. */
import { useEffect, useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { FigureField } from '../library/figure-field'
import { figureOf } from '../library/figure-of'
import type { FittedPart, JudgedProperty, PartFigures } from '../../src-core/repair/entry'
import type { RepairView } from '../../src-core/repair/view'
import { Judged } from './log-list'

type FigureName = 'value' | 'tolerance' | 'volts' | 'amperes' | 'watts' | 'seconds'
export type Typed = { marking: string; same: boolean; figures: Record<FigureName, string>; package: string; donor: string | null; test: string }
export const noPart: Typed = { marking: '', same: true, figures: { value: '', tolerance: '', volts: '', amperes: '', watts: '', seconds: '' }, package: '', donor: null, test: '' }

const names: Record<FigureName, string> = { value: 'Value', tolerance: 'Tolerance ±', volts: 'Bears', amperes: 'Carries', watts: 'Power', seconds: 'Speed' }
const units: Record<FigureName, string> = { value: '', tolerance: '%', volts: 'V', amperes: 'A', watts: 'W', seconds: 's' }
const figureNames = Object.keys(names) as FigureName[]

/** Percent on the screen, a share within. */
const figuresOf = ({ figures, package: housing }: Typed): PartFigures | { fault: string } => {
  const read: Partial<Record<FigureName, number>> = {}
  for (const name of figureNames) {
    if (figures[name].trim() === '') continue
    const value = figureOf(figures[name])
    if (value === null || value <= 0) return { fault: `${names[name]}: “${figures[name]}” is no figure above nought. Write it in ${units[name] === '' ? 'the unit beside it' : units[name]}, as 0.25 or 2e-6.` }
    read[name] = name === 'tolerance' ? value / 100 : value
  }
  return { ...read, ...(housing.trim() === '' ? {} : { package: housing.trim() }) }
}

export const fittedOf = (typed: Typed): FittedPart | { fault: string } => {
  const figures = typed.same ? {} : figuresOf(typed)
  if ('fault' in figures) return figures
  if (typed.marking.trim() === '') return { fault: 'Write what the new part is marked with.' }
  if (typed.donor !== null && typed.donor.trim() === '') return { fault: 'Write which board the part comes from.' }
  return {
    marking: typed.marking.trim(), same: typed.same, figures, judged: [],
    origin: typed.donor === null ? { kind: 'new' } : { kind: 'donor', board: typed.donor.trim(), test: typed.test === '' ? null : typed.test },
  }
}

type Props = { view: RepairView; part: RepairView['parts'][number]; typed: Typed; change: (next: Typed) => void; away: boolean }

export const FittedFields = ({ view, part, typed, change, away }: Props): JSX.Element => (
  <>
    <div className="row">
      <label className="field small">
        <span>by one marked</span>
        <input data-testid="fitted-marking" value={typed.marking} maxLength={80} onChange={(event) => change({ ...typed, marking: event.target.value })} />
      </label>
      <label className="tick-field">
        <input type="checkbox" data-testid="fitted-same" checked={typed.same} onChange={() => change({ ...typed, same: !typed.same })} /> of the same marking
      </label>
    </div>
    {!typed.same && <SubstituteFields view={view} part={part} typed={typed} change={change} away={away} />}
    <div className="row">
      <label className="tick-field">
        <input type="radio" name="origin" checked={typed.donor === null} onChange={() => change({ ...typed, donor: null, test: '' })} /> new
      </label>
      <label className="tick-field">
        <input type="radio" name="origin" data-testid="from-donor" checked={typed.donor !== null} onChange={() => change({ ...typed, donor: '' })} /> from a donor board
      </label>
    </div>
    {typed.donor !== null && <DonorFields view={view} part={part} typed={typed} donor={typed.donor} change={change} away={away} />}
  </>
)

const SubstituteFields = ({ view, part, typed, change }: Props): JSX.Element => {
  const { call } = useSession()
  const [judged, setJudged] = useState<JudgedProperty[]>([])
  const asked = JSON.stringify(figuresOf(typed))
  useEffect(() => {
    const figures = JSON.parse(asked) as ReturnType<typeof figuresOf>
    if ('fault' in figures) return
    let over = false
    call('judge-substitute', { run: view.run, part: part.ref, figures }).then((answer) => { if (!over) setJudged(answer.judged) }, () => { if (!over) setJudged([]) })
    return () => { over = true }
  }, [call, view.run, part.ref, asked])
  return (
    <>
      <div className="row">
        {figureNames.map((name) => (name === 'value' && part.unit === null ? null : (
          <FigureField key={name} words={names[name]} unit={name === 'value' ? part.unit ?? '' : units[name]} value={typed.figures[name]}
            change={(value) => change({ ...typed, figures: { ...typed.figures, [name]: value } })} />
        )))}
        <label className="field small">
          <span>Package</span>
          <input size={8} value={typed.package} maxLength={80} onChange={(event) => change({ ...typed, package: event.target.value })} />
        </label>
      </div>
      {judged.length > 0 && <Judged judged={judged} />}
    </>
  )
}

const DonorFields = ({ view, part, typed, donor, change, away }: Props & { donor: string }): JSX.Element => {
  const { order, go } = useSession()
  const tests = view.donors.filter(({ words, passed }) => passed && words.startsWith(`${part.ref} from `))
  const test = (): void => {
    go('bench')
    order('test-donor', { run: view.run, part: part.ref, donor: donor.trim() })
  }
  return (
    <>
      <label className="field">
        <span>Donor board</span>
        <input data-testid="donor-board" value={donor} maxLength={60} onChange={(event) => change({ ...typed, donor: event.target.value })} />
      </label>
      {part.notAlone !== null ? <p className="aside">{part.notAlone}</p> : (
        <div className="row">
          <button type="button" className="main-act second" data-testid="test-donor" disabled={away || donor.trim() === ''} onClick={test}>
            measure it alone first
          </button>
          <label className="field small">
            <span>Measured alone</span>
            <select data-testid="donor-test" value={typed.test} onChange={(event) => change({ ...typed, test: event.target.value })}>
              <option value="">{tests.length === 0 ? 'not yet' : 'choose'}</option>
              {tests.map(({ run, words }) => (
                <option key={run} value={run}>{words}</option>
              ))}
            </select>
          </label>
        </div>
      )}
    </>
  )
}
