/** Lists serial ports without ever crashing: the list is a help, a path can always be typed. */
import { realpath } from 'node:fs/promises'
import { SerialPort } from 'serialport'

export type PortList = { ports: { path: string; about: string; cable: string | null }[]; message: string | null }

const patienceMs = 3000

type UsbMarks = { vendorId?: string | undefined; productId?: string | undefined; serialNumber?: string | undefined }

/** The USB identity of a cable: who made it, what it is, and its serial number if it has one; null where it is no USB cable. */
export const cableOf = ({ vendorId, productId, serialNumber }: UsbMarks): string | null =>
  vendorId === undefined || productId === undefined || vendorId === '' || productId === '' ? null
    : [`${vendorId}:${productId}`.toLowerCase(), serialNumber ?? ''].join(' ').trim().slice(0, 200)

export const listPorts = async (): Promise<PortList> => {
  let late: NodeJS.Timeout | undefined
  try {
    const tooLate = new Promise<never>((_resolve, reject) => { late = setTimeout(() => reject(new Error('no answer')), patienceMs) })
    const found = await Promise.race([SerialPort.list(), tooLate])
    const ports = found.map((port) => ({
      path: port.path,
      cable: cableOf(port),
      about: [port.manufacturer, port.serialNumber].filter((word) => word !== undefined && word !== '').join(', '),
    }))
    return { ports, message: ports.length === 0 ? 'No serial port was found. Plug the cable in, or type its path.' : null }
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error)
    return { ports: [], message: /ENOENT/.test(why) ? 'This system has no list of its serial ports. Type the path of the port.' : `The system would not list its serial ports (${why}). Type the path of the port.` }
  } finally {
    clearTimeout(late)
  }
}

/** The cable at a port, which may be named by a link to it. */
export const cableAt = async (path: string): Promise<string | null> => {
  const { ports } = await listPorts()
  const real = await realpath(path).catch(() => path) // gone, or a system whose ports are no files
  return ports.find((port) => port.path === path || port.path === real)?.cable ?? null
}
