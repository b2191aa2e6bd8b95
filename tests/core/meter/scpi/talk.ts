/** A session and the simulated instrument joined by a line, in time that is made up: hours pass in milliseconds. */
import { scpiSession, scpiWakesAt } from '../../../../src-core/meter/scpi/session'
import { startScpi, type ScpiInput, type ScpiOutput, type WantedSetting } from '../../../../src-core/meter/scpi/session-state'
import type { MeterDescription } from '../../../../src-core/meter/description'
import type { Reading } from '../../../../src-core/meter/reading'
import { seconds } from '../../../../src-core/quantity/units'
import { hear, startInstrument, type Instrument, type InstrumentHabits, type OnLeads } from '../../../bench-tools/scpi-instrument'
import { trainer } from '../../../bench-tools/scpi-description'

export type Talk = {
  instrument: Instrument
  outputs: (ScpiOutput & { at: number })[]
  readings: () => Reading[]
  troubles: () => string[]
  rejects: () => string[]
  now: () => number
  want: (wanted: Partial<WantedSetting> & Pick<WantedSetting, 'function'> | null) => void
  leave: () => void
  /** Lets time pass; stops early where `until` holds. */
  pass: (forSeconds: number, until?: () => boolean) => void
  /** Bytes from nowhere onto the line. */
  noise: (text: string) => void
  /** Lines that came, oldest first. */
  lines: string[]
}

export const startTalk = (habits: InstrumentHabits = {}, onLeads: OnLeads = () => 1, description: MeterDescription = trainer(), firstTag = 250): Talk => {
  if (description.framing.kind !== 'scpi') throw new Error('the talk is in SCPI')
  const instrument = startInstrument(habits)
  let state = startScpi(description, description.framing, firstTag)
  const outputs: Talk['outputs'] = []
  let pending: { at: number; text: string }[] = []
  let line = ''
  const lines: string[] = []
  let at = 0

  const take = (input: ScpiInput): void => {
    const done = scpiSession(state, input)
    state = done.state
    for (const output of done.outputs) {
      outputs.push({ ...output, at })
      if (output.kind === 'send') pending = [...pending, ...hear(instrument, output.messages.map((each) => `${each}\n`).join(''), onLeads, at)].sort((a, b) => a.at - b.at)
    }
  }
  const arrive = (text: string): void => {
    line += text
    for (let end = line.indexOf('\n'); end >= 0; end = line.indexOf('\n')) {
      const whole = line.slice(0, end)
      line = line.slice(end + 1)
      lines.push(whole)
      take({ kind: 'line', text: whole, raw: Buffer.from(`${whole}\n`, 'latin1').toString('hex'), at: seconds(at) })
    }
  }
  return {
    instrument, outputs, lines,
    readings: () => outputs.flatMap((output) => (output.kind === 'reading' ? [output.reading] : [])),
    troubles: () => outputs.flatMap((output) => (output.kind === 'trouble' ? [output.text] : [])),
    rejects: () => outputs.flatMap((output) => (output.kind === 'reject' ? [output.why] : [])),
    now: () => at,
    want: (wanted) => { take({ kind: 'want', wanted: wanted === null ? null : { step: wanted.function, range: 'auto', about: null, ...wanted }, at: seconds(at) }) },
    leave: () => { take({ kind: 'leave', at: seconds(at) }) },
    noise: arrive,
    pass: (forSeconds, until = () => false) => {
      const end = at + forSeconds
      if (at === 0) take({ kind: 'tick', at: seconds(0) })
      for (let turn = 0; turn < 200_000 && !until(); turn += 1) {
        const wakes = scpiWakesAt(state)
        const next = Math.min(pending[0]?.at ?? Infinity, wakes === null ? Infinity : Math.max(wakes, at))
        if (next > end) break
        at = next
        const [first] = pending
        if (first !== undefined && first.at <= at) {
          pending = pending.slice(1)
          arrive(first.text)
        } else take({ kind: 'tick', at: seconds(at) })
      }
      if (!until()) at = end
    },
  }
}
