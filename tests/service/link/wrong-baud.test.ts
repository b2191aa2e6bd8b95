/** A meter connected at another speed than it sends at: the model of the line garbles its bytes, and the link says what is wrong. */
import { afterEach, expect, it } from 'vitest'
import { openPtyLine, pythonIsHere, type PtyLine } from '../../../fixtures/line/pty-line'
import { plainFormat } from '../../../src-core/meter/recognise/line-format'
import { seconds } from '../../../src-core/quantity/units'
import { createLink } from '../../../src-main/service/link/link'
import { described, meterAt } from '../../core/meter/recognise/recorded'

let line: PtyLine | null = null
afterEach(async () => {
  await line?.close()
  line = null
})

it.skipIf(!pythonIsHere).each([2400, 19200])('says that bytes arrive that make no sense at 9600 baud, from a meter that sends at %i', async (baud) => {
  const description = described['Line meter A']
  line = await openPtyLine(meterAt('Line meter A', { ...description.port, baud }, { every: 0.2, phase: 0, from: 0 }), plainFormat)
  const values: unknown[] = []
  const link = createLink({
    reading: ({ value }) => { values.push(value) }, changed: () => undefined, lost: () => undefined, back: () => undefined,
  }, () => seconds(performance.now() / 1000))
  const ticking = setInterval(() => { link.tick() }, 100)
  try {
    await link.connect(line.path, description, description.port, 'm')
    await expect.poll(() => link.view().message, { timeout: 20_000 }).toMatch(/Bytes arrive, but they make no sense at 9600 baud, 8 data bits, no parity, 1 stop bit\./)
    expect(values).toEqual([])
  } finally {
    clearInterval(ticking)
    link.disconnect()
  }
})
