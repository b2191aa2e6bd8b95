/** Jobs: a customer's batch of boards, one after the other to the bench, today or another day. */
import { useState, type JSX } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { ActionLine, type RecordAction } from '../records/action-line'
import { saveExport } from '../records/export-line'
import { ScreenTitle } from '../records/screen-title'
import { jobInWords, type JobView } from '../../src-core/shop/job'
import { JobForm } from './job-form'
import { JobUnits } from './job-units'
import { useJobs, type JobEntries } from './use-jobs'

const JobList = ({ jobs, chosen, choose }: { jobs: JobEntries; chosen: string | null; choose: (id: string) => void }): JSX.Element => (
  <nav className="side" aria-label="Jobs">
    <div className="side-list">
      {jobs.map((job) => (
        <button key={job.id} type="button" className="side-item" data-testid="job-entry" aria-current={job.id === chosen ? 'true' : undefined} onClick={() => choose(job.id)}>
          <span>
            <b>{job.name}</b>
            {job.customer !== '' && <span className="aside"> {job.customer}</span>}
          </span>
          <span className="aside figures">
            {job.paused ? 'paused, ' : ''}
            {job.done} of {job.of}
          </span>
        </button>
      ))}
    </div>
  </nav>
)

export const JobsScreen = (): JSX.Element => {
  const { call, say } = useSession()
  const lost = useLost()
  const linked = useApp((state) => state.link.status === 'open' || state.link.status === 'silent')
  const [chosen, setChosen] = useState<string | null>(null)
  const [form, setForm] = useState<'new' | 'add' | null>(null)
  const [marked, setMarked] = useState<string[]>([])
  const [splitName, setSplitName] = useState<string | null>(null)
  const [cursor, setCursor] = useState(0)
  const { jobs, view, fault, again } = useJobs(chosen)
  const problem = (error: Error): void => say(error.message, 'problem')
  const changed = (next: JobView): void => {
    setChosen(next.id)
    setForm(null)
    setSplitName(null)
    setMarked([])
    again()
  }
  const change = (part: { paused?: boolean; handsFree?: boolean }): void => {
    if (view !== null) call('change-job', { job: view.id, ...part }).then(changed, problem)
  }
  const start = (unit?: string): void => {
    if (view !== null) call('start-of-job', { job: view.id, ...(unit === undefined ? {} : { unit }), byEye: !linked }).catch(problem)
  }
  const save = (): void => {
    if (view === null) return
    call('export-job', { job: view.id, as: 'pdf' }).then(({ files }) => {
      for (const { path, name } of files) saveExport(path, name)
      say(`${files.map(({ name }) => name).join(' and ')} ${files.length === 1 ? 'is' : 'are'} being saved.${files.length === 1 ? ' No record of this job was issued yet.' : ''}`, 'note')
    }, problem)
  }
  const units = view?.units ?? []
  const here = units[cursor]
  const none = view === null ? 'There is no job here.' : null
  const mark = (unit: string): void => setMarked(marked.includes(unit) ? marked.filter((one) => one !== unit) : [...marked, unit])
  const newJob: RecordAction = { key: 'N', does: 'new job', testId: 'job-new', run: () => setForm('new') }
  // With no job there is nothing that the other keys could be for.
  const actions: RecordAction[] = jobs === null || jobs.length === 0 ? [newJob] : [
    { key: 'Enter', does: 'start the next board', testId: 'job-start', run: () => start(), not: none ?? (view?.paused === true ? 'The job is paused.' : view?.next === null ? 'No board waits.' : null) },
    { key: '↓', does: 'down', testId: 'row-down', run: () => setCursor(Math.min(units.length - 1, cursor + 1)), not: none },
    { key: '↑', does: 'up', testId: 'row-up', run: () => setCursor(Math.max(0, cursor - 1)), not: none },
    { key: 'M', does: 'mark', testId: 'mark-here', run: () => { if (here !== undefined) mark(here.unit) }, not: none },
    { key: 'V', does: 'split off the marked', testId: 'job-split', run: () => setSplitName(`${view?.name ?? ''} second part`), not: marked.length === 0 ? 'Mark boards with M first.' : null },
    { key: 'P', does: view?.paused === true ? 'resume' : 'pause', testId: 'job-pause', run: () => change({ paused: view?.paused !== true }), not: none },
    { key: 'B', does: 'more boards', testId: 'job-add', run: () => setForm('add'), not: none },
    { key: 'X', does: 'export', testId: 'job-export', run: save, not: none },
    newJob,
  ]
  return (
    <div className="records jobs">
      <ScreenTitle>Jobs</ScreenTitle>
      {fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> The jobs could not be read: {fault}
        </p>
      )}
      {jobs === null && fault === null && <p role="status">Reading the jobs …</p>}
      {jobs !== null && jobs.length === 0 && form === null && (
        <p>
          A job is a customer’s batch of boards: open one with its serial numbers, and they come to the bench one after the other.{' '}
          <button type="button" className="quiet-act" data-testid="first-job" onClick={() => setForm('new')}>
            Open the first job
          </button>
        </p>
      )}
      {form === 'new' && <JobForm key="new" addTo={null} away={lost} made={changed} close={() => setForm(null)} />}
      {form === 'add' && view !== null && <JobForm key={view.id} addTo={view} away={lost} made={changed} close={() => setForm(null)} />}
      {form === null && jobs !== null && jobs.length > 0 && (
        <div className="two-parts">
          <JobList jobs={jobs} chosen={view?.id ?? null} choose={(id) => { setChosen(id); setMarked([]); setCursor(0) }} />
          {view !== null && (
            <section className="detail" aria-label={view.name}>
              <p data-testid="job-words">{jobInWords(view)}</p>
              {view.paused && (
                <p role="status">
                  <Sign name="warn" /> Paused. It goes on where it was, today or another day.
                </p>
              )}
              <progress max={units.length} value={view.done} aria-label={`${view.done} of ${units.length} boards done`} />
              {view.conditionAsReceived !== '' && <p className="aside">As received: {view.conditionAsReceived}</p>}
              <label className="tick-field">
                <input type="checkbox" data-testid="job-hands-free" checked={view.handsFree} disabled={lost} onChange={(event) => change({ handsFree: event.target.checked })} />
                <span>The next board follows by itself, two seconds after the leads are off a board that passed</span>
              </label>
              {splitName !== null && (
                <form
                  className="save-line"
                  aria-label="Split the job"
                  onSubmit={(event) => {
                    event.preventDefault()
                    call('split-job', { job: view.id, units: marked, name: splitName }).then(changed, problem)
                  }}
                >
                  <label className="field small">
                    <span>{marked.length === 1 ? 'One board' : `${marked.length} boards`} into a job of their own, named</span>
                    <input data-testid="split-name" value={splitName} maxLength={80} required onChange={(event) => setSplitName(event.target.value)} />
                  </label>
                  <button type="submit" className="main-act small" data-testid="split-save">
                    Split
                  </button>
                  <button type="button" className="quiet-act" onClick={() => setSplitName(null)}>
                    Do not
                  </button>
                </form>
              )}
              <JobUnits view={view} marked={marked} mark={mark} cursor={cursor} come={setCursor} away={lost} start={start} />
            </section>
          )}
        </div>
      )}
      {form === null && splitName === null && <ActionLine actions={actions} away={lost} />}
    </div>
  )
}
