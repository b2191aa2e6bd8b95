import { readdirSync, readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkDescription } from '../../../src-core/meter/check'
import { lineDecoder } from '../../../src-core/meter/decode-line'
import type { FileProblem } from '../../../src-core/meter/problem-words'
import { seconds } from '../../../src-core/quantity/units'

type Json = Record<string, unknown>
const fixture = (name: string): Json =>
  JSON.parse(readFileSync(new URL(`../../../fixtures/meters/${name}.json`, import.meta.url), 'utf8')) as Json
const a = fixture('line-meter-a')
const clock = (): number => performance.now()

const problems = (json: unknown): FileProblem[] => {
  const checked = checkDescription(json, 'mine.json', clock)
  return 'problems' in checked ? checked.problems : []
}
const fields = (json: unknown): string[] => problems(json).map(({ field }) => field)
/** Milliseconds this process has worked: other programs' load is not in it. */
const worked = (): number => {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1000
}
const messages = (json: unknown): string[] => problems(json).map(({ message }) => message)
const simplest = '^(?<function>[A-Z]+) (?<value>[^;]*)'

describe('a good description', () => {
  // The app times none of these patterns again when it starts.
  it.each(readdirSync(new URL('../../../fixtures/meters', import.meta.url)).map((file) => file.replace('.json', '')))('%s is taken', (name) => {
    expect(checkDescription(fixture(name), `${name}.json`, clock)).toHaveProperty('description.name')
  })
  it('the shortest one of formats.md is taken', () => {
    expect(problems({
      schema: 'probewright/meter-description/1', name: 'Line meter A',
      port: { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1, dtr: true, rts: false },
      framing: { kind: 'lines', delimiter: '0d0a', maxBytes: 64 },
      pattern: '^(?<function>\\w+) (?<value>-?[\\d.]+|-?OL) (?<prefix>[numkM]?)(?<unit>V|Ohm|F) ?(?<flags>.*)$',
      overload: ['OL'], prefixes: { k: 1e3, M: 1e6 }, flags: { H: 'hold', A: 'auto-range' },
      functions: { RES: { is: 'resistance', counts: 6000, lowestRange: 600, conversionSeconds: 0.4 } },
    })).toEqual([])
  })
  it('takes at most half a second of processor time to check', () => {
    const began = worked()
    checkDescription(a, 'a.json', clock)
    expect(worked() - began).toBeLessThan(500)
  })
})

describe('a bad file is told by file and field, in a sentence', () => {
  it('what is missing, of the wrong kind, or out of bounds', () => {
    expect(problems({ ...a, port: { baud: 'fast', dataBits: 9, parity: 'odd', stopBits: 1 } })).toEqual([
      { file: 'mine.json', field: 'port.baud', message: '"port.baud" must be a number; it is "fast".' },
      { file: 'mine.json', field: 'port.dataBits', message: '"port.dataBits" must be 5, 6, 7 or 8; it is 9.' },
    ])
    expect(messages({ ...a, framing: { kind: 'lines', delimiter: '0d0a', maxBytes: 200 } }))
      .toEqual(['"framing.maxBytes" must be at most 128; it is 200.'])
    expect(messages({ ...a, framing: { kind: 'lines', delimiter: 'CR', maxBytes: 64 } }))
      .toEqual(['"framing.delimiter" must be 1 to 4 bytes as lower-case hex, such as "0d0a"; it is "CR".'])
    expect(messages({ ...a, framing: { kind: 'drums' } })).toEqual([
      '"framing.kind" must be "lines", "frames", "counted-frames", "delimited-frames", "indexed-frames" or "scpi"; it is "drums".',
    ])
    expect(messages({ ...a, overload: [] })).toEqual(['"overload" is missing; it must hold what the meter sends out of range, such as ["OL"].'])
    const { pattern, ...without } = a
    expect(pattern).toBeTypeOf('string')
    expect(messages(without)).toEqual(['"pattern" is missing; it must be text in quotes: a regular expression over one line.'])
    expect(messages({ ...a, schema: 'other/1' })).toEqual(['"schema" must be "probewright/meter-description/1"; it is "other/1".'])
    expect(messages({ ...a, flags: { AB: 'hold' } })).toEqual(['"flags.AB" is a key that must have exactly 1 character.'])
  })
  it('an unknown key is named', () => {
    expect(problems({ ...a, patern: 'x' })).toEqual([
      { file: 'mine.json', field: 'patern', message: '"patern" is no key known here; check its spelling, or take it out.' },
    ])
  })
  it('anything that is no object at all', () => {
    for (const json of [null, 5, 'text', [], undefined]) expect(problems(json).length).toBeGreaterThan(0)
    expect(messages(null)).toEqual(['The file must be an object in braces; it is null.'])
  })
})

describe('the pattern', () => {
  it('must compile', () => {
    expect(messages({ ...a, pattern: '^(?<function>[A-Z]+' })[0]).toMatch(/^"pattern" is not a regular expression: /)
  })
  it('must have the groups that are needed, and none that mean nothing', () => {
    expect(messages({ ...a, pattern: '^(?<function>[A-Z]+) (?<figure>.*)$', prefixes: {}, units: {}, flags: {} })).toEqual([
      '"pattern" has no group "value"; write (?<value>…) where the line holds it.',
      '"pattern" has a group "figure", which means nothing here; the groups are function, value, prefix, unit, flags, range.',
    ])
  })
  it('must be able to hold every key that is looked up in it', () => {
    const pattern = (a.pattern as string).replace('[A-Z]{3,5}', 'DCV|ACV|RES|CONT|DIODE|CAP|FREQ')
    expect(messages({ ...a, pattern })).toEqual([
      '"functions.DCA" can never be met: the group "function" of "pattern", DCV|ACV|RES|CONT|DIODE|CAP|FREQ, does not take "DCA".',
    ])
    expect(fields({ ...a, overload: ['OL', 'OVER'] })).toEqual(['overload.OVER'])
    expect(fields({ ...a, prefixes: { k: 1e3, G: 1e9 } })).toEqual(['prefixes.G'])
    expect(fields({ ...a, units: { Ohm: 'Ω', Volt: 'V' } })).toEqual(['units.Volt'])
  })
  it('may hold keys with spaces around them, as fields of fixed width do', () => {
    expect(problems({ ...a, pattern: (a.pattern as string).replace('-?OL', '[ OL]{6}') })).toEqual([])
  })
  it('must hold what the description describes', () => {
    expect(fields({ ...a, pattern: `${simplest}$` })).toEqual(['prefixes', 'units', 'flags'])
    const bare = { ...a, pattern: `${simplest}$`, prefixes: {}, units: {}, flags: {} }
    expect(problems(bare)).toEqual([])
    expect(fields({ ...bare, functions: { TEMP: { is: 'temperature', counts: 6000, lowestRange: 600 } } })).toEqual(['functions.TEMP'])
  })
})

describe('prefixes, units and delimiter', () => {
  it('a prefix is a power of ten', () => {
    expect(messages({ ...a, prefixes: { k: 1024 } })).toEqual(['"prefixes.k" must be a power of ten, such as 1e3 or 1e-6; it is 1024.'])
  })
  it('a unit hides no prefix', () => {
    expect(fields({ ...a, pattern: (a.pattern as string).replace('V|Ohm', 'V|kOhm|Ohm'), units: { kOhm: 'Ω' } })).toEqual(['units.kOhm'])
  })
  it('a digit ends no line', () => {
    expect(fields({ ...a, framing: { kind: 'lines', delimiter: '0d30', maxBytes: 64 } })).toEqual(['framing.delimiter'])
  })
})

describe('the time a pattern takes', () => {
  const bare = { ...a, prefixes: {}, units: {}, flags: {}, framing: { kind: 'lines', delimiter: '0d0a', maxBytes: 128 } }
  const refused = (pattern: string, timer = clock): string => {
    const checked = checkDescription({ ...bare, pattern }, 'mine.json', timer)
    return 'problems' in checked ? checked.problems.map(({ message }) => message).join(' ') : ''
  }

  const boundless = [
    '(?:\\w+\\s?)*$', '(?:[a-z]|[0-9])+$', '(?:a?b)*$', '(?:(?:\\d{2})+;)*$', '(?=.{100})\\d+$', '(.)\\1$',
    '(?:\\d{100}){100}$', '(?:\\b)*$',
  ]
  it.each(boundless)('cannot be bounded by its shape: …%s', (end) => {
    expect(refused(simplest + end)).toMatch(/^"pattern" is refused because .*cannot be bounded/)
  })

  const slow = [
    '.*.*.*.*.*x$', '\\d*\\d*\\d*\\d*\\d*\\d*x$', '( ?;?[a-z]*[a-z]*[a-z]*[a-z]*[a-z]*[a-z]*[a-z]*x)?$',
    `.{60}${'a?'.repeat(60)}${'a'.repeat(60)}$`, `${'(?:.|.)'.repeat(40)}x$`,
  ]
  it.each(slow)('is too long on a broken line, and the check itself ends: …%s', (end) => {
    const began = worked()
    expect(refused(simplest + end)).toMatch(/(takes more than 100000 steps|took [\d.]+ ms) on a broken line of \d+ bytes/)
    // Left alone the engine would take hours; how fast the check is stands in no test.
    expect(worked() - began).toBeLessThan(25_000)
  })

  it('is the least of several tries: a busy machine does not refuse a good pattern', () => {
    let calls = 0
    let now = 0
    const busyTwiceInThree = (): number => {
      calls += 1
      now += Math.floor(calls / 2) % 3 === 0 ? 0.001 : 30
      return now
    }
    expect(refused(`${simplest}$`, busyTwiceInThree)).toBe('')
    let late = 0
    expect(refused(`${simplest}$`, () => (late += 1.2))).toMatch(/took 1\.2 ms/)
  })

  it('is under 1 ms on any line, for a pattern that was taken', () => {
    const decode = ['line-meter-a', 'line-meter-b'].map((name) => {
      const checked = checkDescription(fixture(name), name, clock)
      if ('problems' in checked) throw new Error(checked.problems[0]?.message)
      return lineDecoder(checked.description)
    })
    const quickest = (run: () => void): number => Math.min(...Array.from({ length: 5 }, () => {
      const began = clock()
      run()
      return clock() - began
    }))
    const lines = fc.string({ maxLength: 128, unit: fc.constantFrom('0', '.', 'A', ' ', '-', 'O', 'k', ';') })
    fc.assert(fc.property(lines, fc.constantFrom(...decode), (line, read) => {
      expect(quickest(() => { read(line, seconds(0)) })).toBeLessThan(1)
    }))
  })
})

describe('any JSON at all', () => {
  it('never throws, and gives a description or at least one problem, each with the file and a sentence', () => {
    const spoilt = fc.tuple(fc.constantFrom(...Object.keys(a)), fc.jsonValue()).map(([key, value]) => ({ ...a, [key]: value }))
    fc.assert(fc.property(fc.oneof(fc.jsonValue(), spoilt), (json) => {
      const checked = checkDescription(json, 'mine.json', clock)
      if ('description' in checked) return
      expect(checked.problems.length).toBeGreaterThan(0)
      for (const { file, message } of checked.problems) {
        expect(file).toBe('mine.json')
        expect(message).toMatch(/^(The file|").*\.$/)
      }
    }), { numRuns: 300 })
  })
})
