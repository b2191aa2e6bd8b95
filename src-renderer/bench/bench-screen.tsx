/** The bench: the next placement, the reading, what is waited for, the steps so far, and every key of this moment. */
import { useState, type JSX } from 'react'
import { useKeys, type Binding } from '../keys/use-keys'
import { ResultScreen } from '../result/result-screen'
import { useLost, useSession } from '../app/session'
import type { BenchView } from '../../src-core/run/view'
import { BenchHeader } from './bench-header'
import { InlineAsk, reasonsFor, type Asking } from './inline-ask'
import { KeyLine } from './key-line'
import { MessageLine } from './message-line'
import { Placement } from './placement'
import { StepPanel } from './step-panel'
import { StepStrip } from './step-strip'
import { useWakeLock, type Awake } from './use-wake-lock'

export type Action = BenchView['keys'][number]['action']

export const BenchScreen = ({ bench }: { bench: BenchView }): JSX.Element => {
  const awake = useWakeLock(bench.status === 'running')
  return bench.result !== null ? (
    <ResultScreen key={bench.run} bench={bench} result={bench.result} />
  ) : (
    <RunningBench key={bench.run} bench={bench} awake={awake} />
  )
}

const RunningBench = ({ bench, awake }: { bench: BenchView; awake: Awake }): JSX.Element => {
  const { order, say } = useSession()
  const lost = useLost()
  const [asked, setAsking] = useState<Asking | null>(null)
  const asking = lost ? null : asked
  const asksMeter = bench.keys.some(({ action }) => action === 'same-meter')
  const close = (): void => setAsking(null)

  const act = (action: Action): void => {
    switch (action) {
      case 'skip':
      case 'note':
      case 'end':
        setAsking({ what: action, writing: action === 'note' })
        return
      case 'next-board':
        order('next-board', { serialNumber: '' })
        return
      case 'by-eye':
        order('read-by-eye', {})
        return
      default:
        order('press', { key: action })
    }
  }

  const answer = (text: string): void => {
    if (asking === null) return
    if (asking.what === 'skip') order('skip', { reason: text })
    else if (asking.what === 'end') order('end', { reason: text })
    else order('note', { text })
    close()
  }

  const bindings: Binding[] = lost
    ? []
    : asking === null
      ? bench.keys.map(({ key, action }) => ({ key, run: () => act(action) }))
      : [
          ...reasonsFor(asking.what).map((reason, index) => ({ key: String(index + 1), run: () => answer(reason) })),
          { key: String(reasonsFor(asking.what).length + 1), run: () => setAsking({ ...asking, writing: true }) },
          { key: 'Esc', run: close },
        ]
  useKeys(bindings, {
    scanned: (text) => !lost && say(`Scanned “${text}”. No serial number is asked for here, so nothing was done.`, 'note'),
    ignored: (text) =>
      !lost &&
      say(`Keys came faster than a hand (“${text}”), so nothing was done. A scanner must end its code with Enter.`, 'note'),
  })

  return (
    <div className="bench">
      <BenchHeader bench={bench} />
      <main className="bench-main" aria-label="What to do now">
        <section className={asksMeter || lost ? 'bench-picture stands-back' : 'bench-picture'} aria-label="Where the tips go">
          <Placement bench={bench} />
        </section>
        <StepPanel step={bench.step} asksMeter={asksMeter} />
      </main>
      <StepStrip steps={bench.steps} />
      <div className="message-row">
        {asking === null ? (
          <MessageLine bench={bench} />
        ) : (
          <InlineAsk asking={asking} answer={answer} write={() => setAsking({ ...asking, writing: true })} close={close} />
        )}
      </div>
      <KeyLine
        keys={bench.keys}
        act={act}
        away={lost || asking !== null}
        place={bench.step === null ? '' : `${bench.step.number} of ${bench.step.of}`}
        awake={awake}
      />
    </div>
  )
}
