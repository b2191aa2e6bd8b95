/** A search in memory: the line of fixtures/line, its time passed in, and a port that takes a moment to open. */
import { openLine, type ScriptedMeter } from '../../../../fixtures/line/line'
import type { RecogniseOutcome } from '../../../../src-core/meter/recognise/outcome'
import type { Search, Step } from '../../../../src-core/meter/recognise/search'
import { seconds, type Seconds } from '../../../../src-core/quantity/units'

const tick = 0.02
const openingTakes = 0.03

export type Simulated = { outcome: RecogniseOutcome; seconds: number; places: string[]; sent: string[] }

/** @param open begins the search at the time given. */
export const simulate = (open: (start: Seconds) => Search, meter: ScriptedMeter, errors: 'delivers' | 'drops' = 'delivers', start = 100): Simulated => {
  const search = open(seconds(start))
  const line = openLine(meter, { baud: 50, dataBits: 8, parity: 'none', stopBits: 1 }, errors)
  line.toApp(start)
  let current: Step | null = null
  let opens: number | null = null
  const places: string[] = []
  const sent: string[] = []
  for (let at = start; at < start + 30; at += tick) {
    const heard = line.toApp(at)
    if (opens === null && heard.length > 0) for (const _ of search.hear(Uint8Array.from(heard, ({ byte }) => byte), seconds(at))) continue
    const step = search.step(seconds(at))
    if (step.kind === 'over') return { outcome: step.outcome, seconds: at - start, places, sent }
    if (step !== current) {
      current = step
      opens = at + openingTakes
      places.push(step.words)
    }
    if (opens !== null && at >= opens) {
      opens = null
      line.set(step.port, at)
      if (step.send !== null) {
        line.fromApp(step.send, at)
        sent.push(Buffer.from(step.send).toString('hex'))
      }
      search.began(seconds(at))
    }
  }
  throw new Error('The search did not end.')
}
