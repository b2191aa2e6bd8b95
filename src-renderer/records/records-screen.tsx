/** Records: every run of this machine, to be found, read, compared and exported; the bench goes on meanwhile. */
import { useState, type JSX } from 'react'
import { CompareRuns } from './compare-runs'
import { IssueRecord } from './issue-record'
import { IssuedList } from './issued-list'
import { ReadRun } from './read-run'
import { RunList } from './run-list'
import { RepairScreen } from '../repair/repair-screen'
import { useRunList } from './use-run-list'

type Shown = { what: 'list'; cameBack: boolean } | { what: 'run'; run: string } | { what: 'record'; run: string; from: 'run' | 'issued' } | { what: 'repair'; run: string } | { what: 'issued' } | { what: 'pair'; first: string; second: string }

export const RecordsScreen = (): JSX.Element => {
  const list = useRunList()
  const [shown, setShown] = useState<Shown>({ what: 'list', cameBack: false })
  const back = (): void => setShown({ what: 'list', cameBack: true })
  switch (shown.what) {
    case 'list':
      return <RunList list={list} cameBack={shown.cameBack} open={(run) => setShown({ what: 'run', run })} compare={(first, second) => setShown({ what: 'pair', first, second })} issued={() => setShown({ what: 'issued' })} />
    case 'run':
      return <ReadRun key={shown.run} run={shown.run} back={back} issue={() => setShown({ what: 'record', run: shown.run, from: 'run' })} repair={() => setShown({ what: 'repair', run: shown.run })} />
    case 'repair':
      return <RepairScreen key={shown.run} run={shown.run} back={() => setShown({ what: 'run', run: shown.run })} backWords="back to the run" />
    case 'record':
      return shown.from === 'run'
        ? <IssueRecord key={shown.run} run={shown.run} back={() => setShown({ what: 'run', run: shown.run })} backWords="back to the run" />
        : <IssueRecord key={shown.run} run={shown.run} back={() => setShown({ what: 'issued' })} backWords="back to the issued records" />
    case 'issued':
      return <IssuedList open={({ run }) => setShown({ what: 'record', run, from: 'issued' })} back={back} />
    case 'pair':
      return <CompareRuns first={shown.first} second={shown.second} back={back} />
  }
}
