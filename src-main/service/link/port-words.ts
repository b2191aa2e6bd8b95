/** The link's sentences: what is wrong with a port or with what comes from it, where, and what to do. */
import type { PortSettings } from '../../../src-core/meter/description'

/** Errors of the serial library carry no code; they are told apart by their text, and the original is shown too. */
export const portTrouble = (path: string, original: string): string => {
  const remedy =
    /no such file|file not found|unknown error code 2\b/i.test(original) ? `There is no port ${path}. Plug the cable in, or choose another port.`
      : /permission|access denied/i.test(original) ? `This account may not open ${path}. On Linux, join the group that owns the port, often dialout (“sudo usermod -aG dialout $USER”), then sign in again.`
        : /temporarily unavailable|cannot lock|in use|busy/i.test(original) ? `Port ${path} is in use by another program. Close it, or choose another port.`
          : /inappropriate ioctl|not a (tty|typewriter)/i.test(original) ? `${path} is not a serial port. Choose another.`
            : `Port ${path} could not be opened. Check the cable, or choose another port.`
  return `${remedy} (The system said: ${original})`
}

export const goneWords = (why: string): string => `The meter's port is gone (${why}). Plug it in again; the run waits.`

export const anotherCableWords = (path: string): string =>
  `Another cable is at ${path} now than the meter's: nothing is sent to it, since it may lead to a supply or a controller. Plug the meter's cable in again, or connect this one on Start.`

export const backButSilentWords = 'The port is open again, but silent. Is the meter on, and its output turned on? The run waits for its first reading.'

/** @param spoke it has sent readings since it was connected */
export const silentWords = (spoke: boolean): string => (spoke
  ? 'The meter has stopped sending. Is it switched on, and its output still turned on? The run goes on with its next reading.'
  : 'No valid frame arrives. Is the meter on, and its output turned on? Is this its description?')

/** @param line the last that was refused, one character a byte; null for frames. @param why it was. */
export const refusedWords = (line: string | null, why: string): string => {
  const plain = line === null ? '' : ` “${line.replace(/[^\x20-\x7e\xa0-\xff]/g, '·').slice(0, 40)}”`
  return `The meter sends, but ${line === null ? 'its frames are' : 'its lines are'} refused. The last one${plain}: ${why}. Put the meter back to what it sent before, or choose the description that fits it on Start.`
}

/** @param spoke it has answered since it was connected */
export const noAnswerWords = (spoke: boolean): string => (spoke
  ? 'The meter does not answer any more. Is it switched on, and the cable in place? The run goes on with its next reading.'
  : 'The meter does not answer. Is it on, its interface turned on, and set to the same speed? Is this its description?')

const parityWords: Record<PortSettings['parity'], string> = { none: 'no', even: 'even', odd: 'odd', mark: 'mark', space: 'space' }

/** "2400 baud, 7 data bits, even parity, 1 stop bit". */
export const settingsWords = ({ baud, dataBits, parity, stopBits }: PortSettings): string =>
  `${baud} baud, ${dataBits} data bits, ${parityWords[parity]} parity, ${stopBits} stop bit${stopBits === 1 ? '' : 's'}`

/** Bytes come and none makes sense, from the first on. */
export const senselessWords = (settings: PortSettings): string =>
  `Bytes arrive, but they make no sense at ${settingsWords(settings)}. Check the speed set on the meter and the description chosen here, or disconnect and let the app recognise the meter.`

/** Readings came before; now bytes come that are none. */
export const anotherKindWords = (description: string): string =>
  `What arrives now is not what “${description}” sends: the cable seems to hang on another kind of meter, or on a setting that was changed. Put it back, or connect the other meter on Start. The run waits.`

export const anotherInstrumentWords = (was: string, is: string): string =>
  `The cable hangs on another instrument now: it says it is “${is}”; the one connected is “${was}”. Nothing is read from it. Put the cable back, or connect this one as a meter of its own on Start.`
