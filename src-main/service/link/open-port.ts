/** Opens one serial port and turns what the system says into a sentence with a remedy. */
import { SerialPort } from 'serialport'
import type { PortSettings } from '../../../src-core/meter/description'
import { portTrouble } from './port-words'

export type BytePort = {
  /** Resolves once the system has the bytes. @throws Error where the port is gone. */
  write: (bytes: Uint8Array) => Promise<void>
  /** What is being written still leaves. */
  close: () => void
  /** When the system has the port back: only then can it be opened again. */
  freed: Promise<void>
}
export type PortListener = { bytes: (chunk: Buffer) => void; closed: (why: string) => void }

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
      let writing = 0
      const freed = new Promise<void>((done) => { free = done })
      port.on('close', free)
      resolve({
        freed,
        write: (bytes) => new Promise((written, failed) => {
          if (!live) {
            failed(new Error('the port is closed'))
            return
          }
          writing += 1
          port.write(bytes, (fault) => {
            writing -= 1
            if (fault === null || fault === undefined) written()
            else failed(fault)
          })
        }),
        close: () => {
          live = false
          setTimeout(free, freedAtLatestMs).unref()
          const shut = (): void => {
            if (port.isOpen) port.close(free)
            else if (!port.closing) free()
          }
          if (writing > 0 && port.isOpen) port.drain(shut)
          else shut()
        },
      })
    })
  })
