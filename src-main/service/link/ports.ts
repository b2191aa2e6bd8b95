/** Lists serial ports without ever crashing: the list is a help, a path can always be typed. */
import { SerialPort } from 'serialport'

export type PortList = { ports: { path: string; about: string }[]; message: string | null }

const patienceMs = 3000

export const listPorts = async (): Promise<PortList> => {
  let late: NodeJS.Timeout | undefined
  try {
    const tooLate = new Promise<never>((_resolve, reject) => { late = setTimeout(() => reject(new Error('no answer')), patienceMs) })
    const found = await Promise.race([SerialPort.list(), tooLate])
    const ports = found.map((port) => ({
      path: port.path,
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
