/** Opens one serial port for reading and turns what the system says into a sentence with a remedy. */
import { SerialPort } from 'serialport'
import type { PortSettings } from '../../../src-core/meter/description'

export type BytePort = {
  close: () => void
  /** When the system has the port back: only then can it be opened again. */
  freed: Promise<void>
}
export type PortListener = { bytes: (chunk: Buffer) => void; closed: (why: string) => void }

/** Errors of the serial library carry no code; they are told apart by their text, and the original is shown too. */
export const portTrouble = (path: string, original: string): string => {
  const remedy =
    /no such file|file not found|unknown error code 2\b/i.test(original) ? `There is no port ${path}. Plug the cable in, or choose another port.`
      : /permission|access denied/i.test(original) ? `This account may not open ${path}. On Linux, join the group that owns the port (often dialout), then sign in again.`
        : /temporarily unavailable|cannot lock|in use|busy/i.test(original) ? `Port ${path} is in use by another program. Close it, or choose another port.`
          : /inappropriate ioctl|not a (tty|typewriter)/i.test(original) ? `${path} is not a serial port. Choose another.`
            : `Port ${path} could not be opened. Check the cable, or choose another port.`
  return `${remedy} (The system said: ${original})`
}

/** A driver may never say that a port is closed; then it counts as free after this. */
const freedAtLatestMs = 2000

/** @throws Error in plain words. `closed` comes at most once, and never before the promise resolves. */
export const openPort = (path: string, settings: PortSettings, listener: PortListener): Promise<BytePort> =>
  new Promise((resolve, reject) => {
    const { baud, dataBits, parity, stopBits, dtr, rts } = settings
    const port = new SerialPort({ path, baudRate: baud, dataBits, parity, stopBits, autoOpen: false, hupcl: false })
    let live = false
    const end = (why: string): void => {
      if (!live) return
      live = false
      listener.closed(why)
    }
    port.on('error', (error) => { end(error.message) })
    port.on('close', () => { end('the port closed') })
    port.on('data', (chunk: Buffer) => { if (live) listener.bytes(chunk) })
    port.open((error) => {
      if (error !== null && error !== undefined) {
        reject(new Error(portTrouble(path, error.message)))
        return
      }
      live = true
      // A pseudo-terminal has no control lines (ENOTTY): that must not fail the open.
      const lines = { ...(dtr === undefined ? {} : { dtr }), ...(rts === undefined ? {} : { rts }) }
      if (Object.keys(lines).length > 0) port.set(lines, () => undefined)
      let free = (): void => undefined
      const freed = new Promise<void>((done) => { free = done })
      port.on('close', free)
      resolve({
        freed,
        close: () => {
          live = false
          setTimeout(free, freedAtLatestMs).unref()
          if (port.isOpen) port.close(free)
          else if (!port.closing) free()
        },
      })
    })
  })
