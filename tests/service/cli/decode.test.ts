import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { frameMeters, frameSeed, madeFrames } from '../../../fixtures/streams/make-frame-streams'
import { madeStream, streamSeed } from '../../../fixtures/streams/make-streams'
import { reading, type Reading } from '../../../src-core/meter/reading'
import { decodeCommand } from '../../../src-main/cli/decode'
import { commandLine } from './surroundings'

let folder = ''
beforeAll(() => { folder = mkdtempSync(join(tmpdir(), 'probewright-decode-')) })
afterAll(() => rmSync(folder, { recursive: true }))

const streamOf = (name: string): Buffer => readFileSync(new URL(`../../../fixtures/streams/${name}`, import.meta.url))

const decode = async (meter: string, bytes: Uint8Array): Promise<{ code: number; readings: Reading[]; complaints: string[] }> => {
  const line = commandLine()
  line.input.end(bytes)
  const code = await decodeCommand(['--meter', meter], line)
  const readings = line.printed.flatMap((printed) => printed.split('\n')).map((each) => reading.parse(JSON.parse(each)))
  return { code, readings, complaints: line.complaints }
}

describe('decode --meter FILE', () => {
  it.each(frameMeters)('prints every reading of the recorded stream of %s', async (meter) => {
    const sent = madeFrames(meter, frameSeed).sent.filter((each) => each !== null)
    const { code, readings, complaints } = await decode(`fixtures/meters/${meter}.json`, streamOf(`${meter}.bin`))
    expect(code).toBe(0)
    expect(readings.map(({ value, raw }) => ({ value, raw }))).toEqual(sent.map(({ value, raw }) => ({ value, raw })))
    expect(complaints[0]).toMatch(new RegExp(`^\\d+ bytes: ${sent.length} readings, \\d+ rejects:$`))
    expect(complaints.some((line) => /× bytes that belong to no frame$/.test(line))).toBe(true)
  })

  it('prints every reading of a stream of lines, and says why the rest is none', async () => {
    const { sent } = madeStream('a', streamSeed)
    const { readings, complaints } = await decode('fixtures/meters/line-meter-a.json', streamOf('line-meter-a.txt'))
    expect(readings.length).toBe(sent.filter((each) => each !== null).length)
    expect(complaints[0]).toMatch(new RegExp(`, ${sent.filter((each) => each === null).length} rejects:$`))
    expect(complaints.slice(1)).toContain('  1 × an empty line')
  })

  it('gives the time at the description’s speed, to within 16 bytes', async () => {
    const { readings } = await decode('fixtures/meters/line-meter-a.json', new TextEncoder().encode('RES 12.3 Ohm A\r\n'.repeat(60)))
    // 960 bytes of ten bits (start, eight, stop) at 9600 baud.
    expect(readings[readings.length - 1]?.at).toBeCloseTo(1, 6)
    expect(readings[0]?.at).toBeCloseTo(1 / 60, 6)
  })

  it('says of the wrong bytes that they may be the wrong ones, and nothing of none', async () => {
    expect(await decode('fixtures/meters/packed-meter-c.json', streamOf('line-meter-a.txt'))).toMatchObject({
      code: 0, readings: [], complaints: [expect.stringMatching(/0 readings/) as string, expect.stringMatching(/bytes that belong to no frame/) as string,
        'None of it is a reading: “Packed meter C” may be the wrong description, or the bytes were recorded at another speed.'],
    })
    expect((await decode('fixtures/meters/packed-meter-c.json', new Uint8Array(0))).complaints).toEqual(['0 bytes: 0 readings, 0 rejects'])
  })

  it('says of SCPI that answers alone mean nothing', async () => {
    expect(await decode('fixtures/meters/scpi-meter.json', new Uint8Array(5))).toEqual({ code: 1, readings: [],
      complaints: ['“SCPI meter” is asked in SCPI: its answers mean nothing without the questions, so recorded bytes cannot be read. Connect the meter instead.'] })
  })

  it('refuses a file that is not there, no JSON, or not sound, with exit code 1', async () => {
    expect(await decode('nowhere.json', new Uint8Array(0))).toEqual({ code: 1, readings: [], complaints: ['There is no file nowhere.json. Correct the name or the folder.'] })
    const torn = join(folder, 'torn.json')
    writeFileSync(torn, '{ "schema": ')
    expect(await decode(torn, new Uint8Array(0))).toMatchObject({ code: 1, complaints: [expect.stringContaining('The file is not JSON') as string] })
    const fast = join(folder, 'fast.json')
    writeFileSync(fast, streamOf('../meters/packed-meter-c.json').toString().replace('"baud": 1200', '"baud": "fast"'))
    expect(await decode(fast, new Uint8Array(0))).toMatchObject({ code: 1, complaints: [`${fast}: "port.baud" must be a number; it is "fast".`] })
  })

  it('asks for the description, for known options, and for bytes', async () => {
    await expect(decodeCommand([], commandLine())).rejects.toThrow(/^decode needs --meter/)
    await expect(decodeCommand(['--metre', 'x'], commandLine())).rejects.toThrow(/--metre/)
    const line = commandLine()
    await expect(decodeCommand(['--meter', 'fixtures/meters/packed-meter-c.json'], { ...line, input: Object.assign(line.input, { isTTY: true }) })).rejects.toThrow(/^decode reads the bytes from standard input/)
  })
})
