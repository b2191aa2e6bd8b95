/** The bench: the next placement, the reading, what is waited for, the steps so far, and every key of this moment. */
import { useState, type JSX } from 'react'
import { LikelyStrip } from '../diagnosis/likely-strip'
import { useBenchKeys } from '../keys/use-bench-keys'
import { useKeys, type Binding, type Heard } from '../keys/use-keys'
import { ResultScreen } from '../result/result-screen'
import { useApp, useLost, useSession } from '../app/session'
import { hasFailed, isNextAsked } from '../../src-core/run/diagnosis-on-bench'
import type { BenchView } from '../../src-core/run/view'
import { BenchHeader } from './bench-header'
import { noteAskSpoken, skipAskSpoken } from '../../src-core/run/reasons'
import { askingFor, type Asking } from './answer-keys'
import { useAsking, type Question } from './use-asking'
import { ElsewhereBar } from './elsewhere-bar'
import { InlineAsk } from './inline-ask'
import { KeyLine } from './key-line'
import { MessageLine } from './message-line'
import { Placement } from './placement'
import { useHand } from '../practice/use-hand'
import { StepPanel } from './step-panel'
import { StepStrip } from './step-strip'
import { useElsewhere } from './use-elsewhere'
import { useWakeLock, type Awake } from './use-wake-lock'

export type Action = BenchView['keys'][number]['action']

export const BenchScreen = ({ bench }: { bench: BenchView }): JSX.Element => {
  const awake = useWakeLock(bench.status === 'running')
  const question = useAsking(bench)
  return bench.result !== null ? (
    <ResultScreen key={bench.run} bench={bench} result={bench.result} />
  ) : (
    <RunningBench key={bench.run} bench={bench} awake={awake} question={question} />
  )
}

const RunningBench = ({ bench, awake, question }: { bench: BenchView; awake: Awake; question: Question }): JSX.Element => {
  const { order, say, go, speaker } = useSession()
  const keys = useBenchKeys(bench)
  const hand = useHand(bench.hand)
  const identity = useApp((state) => state.identity)
  const skipBecause = useApp((state) => state.live.skipBecause)
  const diagnosis = useApp((state) => (state.diagnosis?.run === bench.run ? state.diagnosis : null))
  const [why, setWhy] = useState(false)
  const elsewhere = useElsewhere(bench)
  const next = diagnosis?.next[0]
  const offeredBy = next?.alone === undefined ? null : keys.find(({ action }) => action === 'elsewhere')?.usual ?? null
  const lost = useLost()
  const { asked, setAsking } = question
  const asking = lost ? null : asked
  const chosen = lost || asking !== null ? null : elsewhere.chosen
  const away = lost || asking !== null || chosen !== null
  const asksMeter = bench.keys.some(({ action }) => action === 'same-meter')
  const close = (): void => setAsking(null)

  const ask = (what: Asking['what'], at: number): void => {
    const asking = askingFor(what, bench.step?.id ?? null, skipBecause, at)
    setAsking(asking)
    if (what === 'skip') speaker.tell(skipAskSpoken(asking.reasons[asking.offered] ?? null))
    if (what === 'note') speaker.tell(noteAskSpoken)
  }

  const act = (action: Action, at = 0): void => {
    switch (action) {
      case 'skip':
      case 'note':
      case 'end':
        ask(action, at)
        return
      case 'say-again':
        speaker.again()
        return
      case 'next-board':
        order('next-board', { serialNumber: '' })
        return
      case 'elsewhere':
        elsewhere.open(next?.alone ?? null)
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
    const step = asking.step ?? undefined
    if (asking.what === 'skip') order('skip', { reason: text, step })
    else if (asking.what === 'end') order('end', { reason: text })
    else order('note', { text, step })
    close()
  }

  const bindings: Binding[] = lost
    ? []
    : asking === null && chosen === null
      ? [...keys.map(({ usual, presses, action }) => ({ key: usual, presses, run: (at: number) => act(action, at) })),
        { key: 'K', run: () => go('sound-and-keys') }, ...(diagnosis === null ? [] : [{ key: 'W', run: () => setWhy(!why) }]), ...(hand?.bindings ?? [])]
      // The question, or the choice of points, has the keys until it is answered.
      : []
  const heard: Heard = {
    scanned: (text) => {
      if (lost) return
      // The open question has one answer that can be scanned.
      if (asksMeter && identity !== null) order('confirm-meter', { meter: identity.meter, asset: text })
      else say(`Scanned “${text}”. No serial number is asked for here, so nothing was done.`, 'note')
    },
    ignored: (text) =>
      !lost &&
      say(`Keys came faster than a hand (“${text}”), so nothing was done. A scanner must end its code with Enter.`, 'note'),
  }
  useKeys(bindings, asking === null && chosen === null ? heard : { scanned: () => undefined, ignored: () => undefined })

  return (
    <div className="bench">
      <BenchHeader bench={bench} />
      <main className="bench-main" aria-label="What to do now">
        <section className={asksMeter || lost ? 'bench-picture stands-back' : 'bench-picture'} aria-label="Where the tips go">
          <Placement bench={bench} diagnosis={diagnosis} hand={hand} chosen={chosen} away={away} />
          {diagnosis !== null && <LikelyStrip diagnosis={diagnosis} failed={hasFailed(bench.steps)} why={{ shown: why, ask: () => setWhy(!why), away, asked: isNextAsked(next, bench.step), offeredBy }} />}
        </section>
        <StepPanel step={bench.step} asksMeter={asksMeter} away={asking !== null || chosen !== null} />
      </main>
      <StepStrip steps={bench.steps} />
      <div className="message-row" role="region" aria-label="Messages">
        {chosen !== null ? (
          <ElsewhereBar chosen={chosen} heard={heard} />
        ) : asking === null ? (
          <MessageLine bench={bench} />
        ) : (
          <InlineAsk asking={asking} change={setAsking} answer={answer} close={close} heard={heard} />
        )}
      </div>
      <KeyLine
        keys={keys}
        act={act}
        away={away}
        place={bench.step === null ? '' : `${bench.step.number} of ${bench.step.of}`}
        awake={awake}
      />
    </div>
  )
}
