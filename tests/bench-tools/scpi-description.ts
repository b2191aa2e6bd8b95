/** A description of the simulated instrument, with times short enough for a test. */
import { meterDescription, type MeterDescription } from '../../src-core/meter/description'

export const trainer = (framing: { everySeconds?: number; timeoutSeconds?: number; retries?: number; delimiter?: string } = {}): MeterDescription => meterDescription.parse({
  schema: 'probewright/meter-description/1', name: 'Six digit trainer', port: { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 },
  framing: { kind: 'scpi', delimiter: '0a', maxBytes: 128, everySeconds: 0.1, timeoutSeconds: 0.5, retries: 1, ...framing },
  functions: {
    'VOLT': { is: 'dc-voltage', counts: 100000, lowestRange: 0.1, conversionSeconds: 0.1 }, 'VOLT:AC': { is: 'ac-voltage', counts: 100000, lowestRange: 0.1, conversionSeconds: 0.1 },
    'RES': { is: 'resistance', counts: 100000, lowestRange: 100, conversionSeconds: 0.1 }, 'CONT': { is: 'continuity', counts: 100000, lowestRange: 1000, conversionSeconds: 0.1 },
    'DIOD': { is: 'diode', counts: 100000, lowestRange: 10, conversionSeconds: 0.1 }, 'CAP': { is: 'capacitance', counts: 100000, lowestRange: 1e-9, conversionSeconds: 0.1 },
  },
})
