/** The simulated instrument at the meter's end of a pair of pseudo-terminals, in real time. */
import { SerialPort } from 'serialport'
import { hear, startInstrument, type Instrument, type InstrumentHabits, type OnLeads } from './scpi-instrument'

export type InstrumentOnPort = { instrument: Instrument; stop: () => Promise<void> }

export const putInstrumentOn = async (path: string, habits: InstrumentHabits, onLeads: OnLeads): Promise<InstrumentOnPort> => {
  const instrument = startInstrument(habits)
  const port = new SerialPort({ path, baudRate: 9600, autoOpen: false, hupcl: false })
  await new Promise<void>((resolve, reject) => { port.open((error) => { if (error) reject(error); else resolve() }) })
  const now = (): number => performance.now() / 1000
  const due = new Set<NodeJS.Timeout>()
  let stopped = false
  port.on('error', () => { stopped = true })
  port.on('data', (chunk: Buffer) => {
    for (const { at, text } of hear(instrument, chunk.toString('latin1'), onLeads, now())) {
      const timer = setTimeout(() => {
        due.delete(timer)
        if (!stopped && port.isOpen) port.write(Buffer.from(text, 'latin1'))
      }, Math.max(0, (at - now()) * 1000))
      due.add(timer)
    }
  })
  return {
    instrument,
    stop: async () => {
      stopped = true
      for (const timer of due) clearTimeout(timer)
      if (port.isOpen) await new Promise<void>((resolve) => { port.close(() => { resolve() }) })
    },
  }
}
