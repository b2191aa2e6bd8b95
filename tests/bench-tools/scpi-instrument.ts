/**
 * A bench instrument that speaks IEEE 488.2 and SCPI-1999, simulated: bytes and time in, bytes and times out. Pure, and written from the
 * standards beside the app: it shares no code with the session that is tested against it.
 */

export type InstrumentFunction = 'VOLT' | 'VOLT:AC' | 'RES' | 'CONT' | 'DIOD' | 'CAP' | 'FREQ' | 'CURR'
/** What lies on the leads in a function, SI; null: open. */
export type OnLeads = (what: InstrumentFunction, at: number) => number | null

export type InstrumentHabits = {
  identity?: string
  functions?: InstrumentFunction[]
  /** Seconds from the end of a message to the first byte of its answer; `READ?` adds its own. */
  answerSeconds?: number
  readSeconds?: number
  /** An answer comes in pieces of so many bytes, so many seconds apart. */
  pieces?: { bytes: number; apart: number }
  /** Headers it does not know, as they are written in full, such as "SENS:RES:RES?". */
  unknown?: RegExp
  /** Settings it refuses with −221 or −222. */
  refuses?: RegExp
  /** Long forms in its answers, as some instruments give. */
  longForms?: boolean
  /** Errors in its queue at the start. */
  errors?: string[]
  endsWith?: string
}

type Settings = { range: number; auto: boolean }
export type Instrument = {
  habits: InstrumentHabits
  buffer: string
  on: boolean
  function: InstrumentFunction
  settings: Record<string, Settings>
  triggerSource: string
  continuous: boolean
  eventStatus: number
  errors: string[]
  busyUntil: number
  /** Program messages received, for the tests to look at. */
  heard: string[]
  reads: number
}
export type Sent = { at: number; text: string }

const lowest: Record<InstrumentFunction, number> = { VOLT: 0.1, 'VOLT:AC': 0.1, RES: 100, CONT: 1000, DIOD: 10, CAP: 1e-9, FREQ: 1, CURR: 0.01 }
const highest: Record<InstrumentFunction, number> = { VOLT: 1000, 'VOLT:AC': 1000, RES: 1e8, CONT: 1000, DIOD: 10, CAP: 1e-4, FREQ: 1e6, CURR: 3 }
const overrange = 1.2
const counts = 100_000

export const startInstrument = (habits: InstrumentHabits = {}): Instrument => ({
  habits, buffer: '', on: true, function: 'VOLT', triggerSource: 'IMM', continuous: false, eventStatus: 0, errors: [...(habits.errors ?? [])],
  settings: Object.fromEntries(Object.entries(lowest).map(([key, range]) => [key, { range, auto: true }])), busyUntil: 0, heard: [], reads: 0,
})

const nr3 = (value: number): string => {
  const [mantissa = '', exponent = '0'] = Math.abs(value).toExponential(8).split('e')
  return `${value < 0 ? '-' : '+'}${mantissa}E${exponent.startsWith('-') ? '-' : '+'}${exponent.replace(/[+-]/, '').padStart(2, '0')}`
}

const full: Record<string, string> = { VOLT: 'VOLTage', RES: 'RESistance', CONT: 'CONTinuity', DIOD: 'DIODe', CAP: 'CAPacitance', FREQ: 'FREQuency', CURR: 'CURRent' }
const mnemonics: Record<string, string> = {
  SENSE: 'SENS', FUNCTION: 'FUNC', RANGE: 'RANG', RESOLUTION: 'RES', RESISTANCE: 'RES', VOLTAGE: 'VOLT', DIODE: 'DIOD', CONTINUITY: 'CONT', CAPACITANCE: 'CAP', FREQUENCY: 'FREQ',
  CURRENT: 'CURR', TRIGGER: 'TRIG', SOURCE: 'SOUR', INITIATE: 'INIT', CONTINUOUS: 'CONT', SYSTEM: 'SYST', ERROR: 'ERR', IMMEDIATE: 'IMM', UPPER: 'UPP',
}

class CommandError extends Error {}

const errorText: Record<number, string> = {
  [-113]: 'Undefined header', [-211]: 'Trigger ignored', [-213]: 'Init ignored', [-214]: 'Trigger deadlock', [-221]: 'Settings conflict', [-222]: 'Data out of range', [-224]: 'Illegal parameter value',
}
const queue = (instrument: Instrument, code: number, about: string): void => {
  if (instrument.errors.length < 10) instrument.errors.push(`${code},"${errorText[code] ?? 'Error'};${about}"`)
}

const rangesOf = (what: InstrumentFunction): number[] => {
  const ranges: number[] = []
  for (let range = lowest[what]; range < highest[what] * 1.001; range *= 10) ranges.push(Number(range.toPrecision(6)))
  return ranges
}

const measure = (instrument: Instrument, onLeads: OnLeads, at: number): string => {
  const what = instrument.function
  const settings = instrument.settings[what] ?? { range: lowest[what], auto: true }
  const value = onLeads(what, at)
  if (settings.auto) {
    const ranges = rangesOf(what)
    settings.range = ranges.find((range) => value !== null && Math.abs(value) <= range * overrange) ?? ranges.at(-1) ?? settings.range
  }
  if (value === null || Math.abs(value) > settings.range * overrange) return value !== null && value < 0 ? '-9.90000000E+37' : '+9.90000000E+37'
  const count = settings.range / counts
  return nr3(Math.round(value / count) * count)
}

const functionNamed = (instrument: Instrument, text: string): InstrumentFunction | null => {
  const name = text.replace(/^["']|["']$/g, '').toUpperCase().split(':').map((node) => mnemonics[node] ?? node).filter((node) => node !== 'DC').join(':')
  const known = instrument.habits.functions ?? ['VOLT', 'VOLT:AC', 'RES', 'CONT', 'DIOD', 'CAP', 'FREQ', 'CURR']
  return known.find((each) => each === name) ?? null
}

const shownFunction = ({ function: what, habits }: Instrument): string => {
  const [first = '', ...rest] = what.split(':')
  return `"${habits.longForms === true ? [(full[first] ?? first).toUpperCase(), ...(rest.length > 0 ? rest : first === 'VOLT' || first === 'CURR' ? ['DC'] : [])].join(':') : what}"`
}

/** One command or query; the answer of a query. @throws CommandError for a header that is not known: the rest of the message falls. */
const unit = (instrument: Instrument, header: string, parameter: string, onLeads: OnLeads, at: number): string | null => {
  const { habits } = instrument
  if (habits.unknown?.test(header) === true) throw new CommandError(header)
  if (habits.refuses?.test(`${header} ${parameter}`.trim()) === true) {
    queue(instrument, -221, header)
    return null
  }
  switch (header) {
    case '*IDN?': return habits.identity ?? 'Benchworks,Six digit trainer,0042,1.0'
    case '*ESE?': return String(instrument.eventStatus)
    case '*ESE': {
      const value = Number(parameter)
      if (!(value >= 0 && value <= 255)) queue(instrument, -222, header)
      else instrument.eventStatus = value
      return null
    }
    case 'SYST:ERR?': return instrument.errors.shift() ?? '0,"No error"'
    case 'SENS:FUNC?': return shownFunction(instrument)
    case 'SENS:FUNC': {
      const what = functionNamed(instrument, parameter)
      if (what === null) queue(instrument, -224, header)
      else instrument.function = what
      return null
    }
    case 'TRIG:SOUR?': return instrument.triggerSource
    case 'TRIG:SOUR': instrument.triggerSource = parameter.toUpperCase(); return null
    case 'INIT:CONT?': return instrument.continuous ? '1' : '0'
    case 'INIT:CONT': instrument.continuous = parameter === 'ON' || parameter === '1'; return null
    case 'READ?': {
      instrument.reads += 1
      if (instrument.continuous) { queue(instrument, -213, header); return null }
      if (instrument.triggerSource !== 'IMM') { queue(instrument, -214, header); return null }
      return measure(instrument, onLeads, at)
    }
  }
  const [, name = '', what = ''] = /^SENS:(.+?):(RANG:AUTO\??|RANG\??|RES\?)$/.exec(header) ?? []
  const settings = instrument.settings[name]
  if (settings === undefined || ((name === 'DIOD' || name === 'CONT' || name === 'FREQ') && what !== '')) throw new CommandError(header)
  switch (what) {
    case 'RANG?': return nr3(settings.range)
    case 'RANG:AUTO?': return settings.auto ? '1' : '0'
    case 'RES?': return nr3(settings.range / counts)
    case 'RANG:AUTO': settings.auto = parameter === 'ON' || parameter === '1'; return null
    case 'RANG': {
      const range = rangesOf(name as InstrumentFunction).find((each) => each * overrange >= Number(parameter))
      if (range === undefined) queue(instrument, -222, header)
      else Object.assign(settings, { range, auto: false })
      return null
    }
    default: throw new CommandError(header)
  }
}

const splitUnits = (message: string): string[] => {
  const units: string[] = ['']
  let quoted = false
  for (const character of message) {
    if (character === '"') quoted = !quoted
    if (character === ';' && !quoted) units.push('')
    else units[units.length - 1] += character
  }
  return units
}

/** A program message: compound headers go on from the node before unless they begin with a colon (SCPI-1999, volume 1, 6.2.4). */
const message = (instrument: Instrument, text: string, onLeads: OnLeads, at: number): { answer: string; reads: boolean } => {
  const answers: string[] = []
  let path: string[] = []
  const readsBefore = instrument.reads
  for (const part of splitUnits(text)) {
    const [written = '', ...parameters] = part.trim().split(/\s+/)
    if (written === '') continue
    const common = written.startsWith('*')
    const nodes = written.toUpperCase().replace(/^:/, '').split(':').map((node) => {
      const query = node.endsWith('?')
      const bare = query ? node.slice(0, -1) : node
      return (mnemonics[bare] ?? bare) + (query ? '?' : '')
    })
    const header = common ? written.toUpperCase() : [...(written.startsWith(':') ? [] : path), ...nodes].join(':')
    if (!common) path = (written.startsWith(':') ? nodes : [...path, ...nodes]).slice(0, -1)
    try {
      const answer = unit(instrument, header, parameters.join(' '), onLeads, at)
      if (answer !== null) answers.push(answer)
    } catch (error) {
      if (!(error instanceof CommandError)) throw error
      queue(instrument, -113, error.message)
      break
    }
  }
  return { answer: answers.join(';'), reads: instrument.reads > readsBefore }
}

/** Takes bytes in; what it sends, with the time of each piece. Changes the instrument it is given. */
export const hear = (instrument: Instrument, bytes: string, onLeads: OnLeads, at: number): Sent[] => {
  if (!instrument.on) return []
  const { habits } = instrument
  instrument.buffer += bytes
  const sent: Sent[] = []
  for (;;) {
    const end = instrument.buffer.indexOf('\n')
    if (end < 0) return sent
    const text = instrument.buffer.slice(0, end).replace(/\r$/, '')
    instrument.buffer = instrument.buffer.slice(end + 1)
    if (text === '') continue
    instrument.heard.push(text)
    const begins = Math.max(at, instrument.busyUntil)
    const { answer, reads } = message(instrument, text, onLeads, begins)
    let due = begins + (habits.answerSeconds ?? 0) + (reads ? habits.readSeconds ?? 0 : 0)
    instrument.busyUntil = due
    if (answer === '') continue
    const whole = answer + (habits.endsWith ?? '\n')
    const { bytes: most, apart } = habits.pieces ?? { bytes: whole.length, apart: 0 }
    for (let from = 0; from < whole.length; from += most) {
      sent.push({ at: due, text: whole.slice(from, from + most) })
      due += apart
    }
    instrument.busyUntil = Math.max(instrument.busyUntil, due - apart)
  }
}
