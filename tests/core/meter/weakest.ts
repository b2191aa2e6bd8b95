/** A description with as little structure as the check of descriptions lets through: the worst case for noise. */
import { checkDescription } from '../../../src-core/meter/check'
import type { MeterDescription } from '../../../src-core/meter/description'

/** Four bytes: a start, a code of the function, and four packed digits. No check value, no end. */
export const weakest = (): MeterDescription => {
  const checked = checkDescription({
    schema: 'probewright/meter-description/1', name: 'Weakest meter', port: { baud: 2400, dataBits: 8, parity: 'none', stopBits: 1 },
    framing: {
      kind: 'frames', length: 4, start: '9b',
      fields: {
        function: { kind: 'code', byte: 1, texts: { '01': 'V', '02': 'R' } },
        value: {
          kind: 'bcd', digits: [{ byte: 2, nibble: 'high' }, { byte: 2, nibble: 'low' }, { byte: 3, nibble: 'high' }, { byte: 3, nibble: 'low' }],
          others: { f: 'L' },
        },
      },
    },
    overload: ['LLLL'],
    functions: { V: { is: 'dc-voltage', counts: 9999, lowestRange: 9999 }, R: { is: 'resistance', counts: 9999, lowestRange: 9999 } },
  }, 'weakest.json', () => 0)
  if ('problems' in checked) throw new Error(checked.problems.map(({ message }) => message).join('\n'))
  return checked.description
}
