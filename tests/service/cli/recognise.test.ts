import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openReceiver } from '../../../fixtures/line/receiver'
import { sent } from '../../../fixtures/line/wire'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { recogniseCommand } from '../../../src-main/cli/recognise'
import { Refused } from '../../../src-main/cli/surroundings'
import { meterNames } from '../../core/meter/recognise/recorded'
import { commandLine } from './surroundings'

let folder = ''
beforeAll(() => { folder = mkdtempSync(join(tmpdir(), 'probewright-recognise-')) })
afterAll(() => rmSync(folder, { recursive: true }))

const fixtures = new URL('../../../fixtures/', import.meta.url)
const stream = (name: string): string => new URL(`streams/${name}`, fixtures).pathname
const written = (name: string, bytes: Uint8Array | string): string => {
  writeFileSync(join(folder, name), bytes)
  return join(folder, name)
}
const recognise = (...args: string[]): { code: number; printed: string[]; complaints: string[] } => {
  const line = commandLine()
  return { code: recogniseCommand(['--bytes', ...args], line), printed: line.printed, complaints: line.complaints }
}
const files = ['line-meter-a.txt', 'line-meter-b.txt', 'packed-meter-c.bin', 'mirror-meter-d.bin', 'polled-meter-e.bin']

describe('recognise --bytes FILE', () => {
  it.each(files.map((file, index): [string, string] => [file, meterNames[index] ?? '']))('ranks the right description first for %s', (file, name) => {
    const { code, printed } = recognise(stream(file))
    expect(printed[0]).toMatch(new RegExp(`^1\\. “${name}” at \\d+ baud, .*\\d+ readings of \\d+ frames, (sure|likely), \\d+ % of the bytes, last: `))
    expect(printed).toHaveLength(1)
    expect(code).toBe(0)
  })

  it('gives JSON, with the speed the bytes were recorded at', () => {
    const { printed } = recognise(stream('line-meter-a.txt'), '--json', '--bytes-baud', '19200')
    expect(JSON.parse(printed.join('\n'))).toMatchObject({ found: [{ description: 'Line meter A', settings: { baud: 19200, dataBits: 8, parity: 'none', stopBits: 1 } }] })
  })

  it('knows seven bits with parity that were recorded as eight', () => {
    const { edges, free } = sent(readFileSync(stream('line-meter-b.txt')).subarray(0, 400), { baud: 2400, dataBits: 7, parity: 'odd', stopBits: 1 }, 0)
    const heard = openReceiver({ baud: 2400, dataBits: 8, parity: 'none', stopBits: 1 }).take(edges, free + 1)
    expect(recognise(written('odd.bin', Uint8Array.from(heard, ({ byte }) => byte))).printed[0]).toMatch(/“Line meter B” at 2400 baud, 7 odd 1: .*sure/)
  })

  it('says that none fits noise, an empty file, and bytes of a slower meter', () => {
    const random = seededRandom(3)
    expect(recognise(written('noise.bin', Uint8Array.from({ length: 4000 }, () => Math.floor(random() * 256))))).toEqual({
      code: 1, printed: ['No description fits these 4000 bytes. They do not look like text.'], complaints: [],
    })
    expect(recognise(written('empty.bin', '')).printed).toEqual(['There are no bytes.'])
    const { edges, free } = sent(readFileSync(stream('line-meter-a.txt')).subarray(0, 400), { baud: 2400, dataBits: 8, parity: 'none', stopBits: 1 }, 0)
    const fast = openReceiver({ baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 }).take(edges, free + 1)
    expect(recognise(written('fast.bin', Uint8Array.from(fast, ({ byte }) => byte)), '--bytes-baud', '9600').printed[0]).toMatch(/They look as if they were sent at 2400 baud/)
  })

  it('reads a folder of own descriptions, and names one that is not sound', () => {
    const own = join(folder, 'own')
    mkdirSync(own)
    const other = JSON.parse(readFileSync(new URL('meters/line-meter-a.json', fixtures), 'utf8')) as Record<string, unknown>
    writeFileSync(join(own, 'twin.json'), JSON.stringify({ ...other, name: 'Twin of A' }))
    writeFileSync(join(own, 'broken.json'), '{')
    copyFileSync(new URL('meters/scpi-meter.json', fixtures), join(own, 'scpi.json'))
    const { printed, complaints } = recognise(stream('line-meter-a.txt'), '--meters', own)
    expect(printed.map((line) => /“(.*)”/.exec(line)?.[1]).sort()).toEqual(['Line meter A', 'Twin of A'])
    expect(complaints).toHaveLength(1)
    expect(complaints[0]).toMatch(/broken\.json was left out/)
  })

  it('refuses what it cannot do, in words', () => {
    const line = commandLine()
    for (const args of [[], ['--bytes', 'not-there.bin'], ['--bytes', stream('line-meter-a.txt'), '--bytes-baud', 'fast'], ['--bytes', stream('line-meter-a.txt'), '--meters', 'nowhere'], ['--byts', 'x']]) {
      expect(() => recogniseCommand(args, line)).toThrow(Refused)
    }
  })
})
