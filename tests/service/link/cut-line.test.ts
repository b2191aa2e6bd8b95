/** A port is opened in the midst of a line, or a cable knocked off in one: what is left of it is no value of its own. */
import { describe, expect, it } from 'vitest'
import { meterDescription, type MeterDescription } from '../../../src-core/meter/description'
import { seconds } from '../../../src-core/quantity/units'
import { openStream } from '../../../src-main/service/link/open-stream'
import { shippedDescription } from '../practice/shipped'

const named = shippedDescription('line-meter-a.json')
/** Its lines begin with the figure: nothing before it tells that a digit or the sign is missing. */
const bare = meterDescription.parse({ ...named, pattern: '^(?<value>-?\\d{1,4}(?:\\.\\d{1,3})?|-?OL) (?<prefix>[numkM]?)(?<unit>V|Ohm) (?<function>[A-Z]{3,5})$', flags: {}, functions: { DCV: { is: 'dc-voltage', counts: 60000, lowestRange: 6 } } })
const nextTurn = (): Promise<void> => new Promise((resolve) => { setImmediate(resolve) })

const hear = async (description: MeterDescription, chunks: [at: number, text: string][], live = true) => {
  const heard: { values: unknown[]; rejects: string[] } = { values: [], rejects: [] }
  const stream = openStream(description, { reading: ({ value }) => { heard.values.push(value) }, reject: (why) => { heard.rejects.push(why) } }, live)
  for (const [at, text] of chunks) {
    stream.feed(Buffer.from(text, 'latin1'), seconds(at))
    await nextTurn()
  }
  stream.close()
  return heard
}

describe('a line that was cut', () => {
  it.each(['12.345 V DCV', '2.345 V DCV', '345 V DCV', 'OL V DCV'])('at the opening of the port gives no value where it could be the rest of a longer one: “%s”', async (rest) => {
    expect(await hear(bare, [[0, `${rest}\r\n`], [0.1, '-12.345 V DCV\r\n']])).toEqual({ values: [-12.345], rejects: [expect.stringMatching(/beginning/) as string] })
  })
  it('is surely whole with its sign, which stands nowhere but at the beginning', async () => {
    expect((await hear(bare, [[0, '-2.345 V DCV\r\n']])).values).toEqual([-2.345])
  })
  it('is told from a whole one where the line begins with what it measures', async () => {
    expect((await hear(named, [[0, 'RES 470.1 Ohm A\r\n']])).values).toEqual([470.1])
    expect(await hear(named, [[0, 'ES 470.1 Ohm A\r\n'], [0.1, 'RES 470.1 Ohm A\r\n']])).toMatchObject({ values: [470.1], rejects: [expect.any(String)] })
  })
  it.each([['named', named, 'RES 4', '70.1 Ohm A\r\n', 'RES 170.1 Ohm A\r\n', 170.1], ['bare', bare, '1', '2.345 V DCV\r\n', '2.345 V DCV\r\n', 2.345]] as const)(
    'by a gap is not joined to what comes after it (%s)', async (_which, description, first, rest, whole, value) => {
      const heard = await hear(description, [[0, whole], [0.2, whole], [0.4, first], [3, rest], [3.2, whole]])
      expect(heard.values.slice(-2)).toEqual([value, value])
      expect(heard.values.every((each) => each === value)).toBe(true)
      expect(heard.rejects).toContain('the rest of a line did not come')
    })
  it('is none where its end of line alone is late, nor where its pieces come at the pace of a slow line', async () => {
    expect(await hear(named, [[0, 'RES 470.1 Ohm A\r'], [2, '\n'], [2.1, 'RES 4'], [2.5, '70.2 Ohm'], [2.9, ' A\r\n']])).toEqual({ values: [470.1, 470.2], rejects: [] })
  })
  it('cannot be in a file of bytes, which is read from its first line on', async () => {
    expect((await hear(bare, [[0, '12.345 V DCV\r\n']], false)).values).toEqual([12.345])
  })
})
