/** A session with an instrument that speaks SCPI: what it sets, what it reads, and what never becomes a reading. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { trainer } from '../../../bench-tools/scpi-description'
import type { InstrumentFunction, OnLeads } from '../../../bench-tools/scpi-instrument'
import { startTalk } from './talk'

/** Another magnitude in each function, so that a value of the wrong one is seen. */
const shown: Partial<Record<InstrumentFunction, number>> = { VOLT: 5.25, 'VOLT:AC': 230, RES: 4712, CONT: 0.4, DIOD: 0.612, CAP: 4.7e-7, FREQ: 50, CURR: 0.02 }
const steadyLeads: OnLeads = (what) => shown[what] ?? null

describe('a SCPI session', () => {
  it('asks who the instrument is before anything else, and reads what it is turned to', () => {
    const talk = startTalk({ identity: 'Our own bench,Trainer,7,2' }, steadyLeads)
    talk.pass(2)
    expect(talk.outputs.find(({ kind }) => kind === 'identified')).toMatchObject({ reply: 'Our own bench,Trainer,7,2' })
    expect(talk.instrument.heard[0]).toMatch(/\*IDN\?$/)
    expect(talk.readings().at(-1)).toMatchObject({ function: 'dc-voltage', value: 5.25, unit: 'V', range: 10, resolution: 1e-4 })
    expect(talk.rejects()).toEqual([])
    expect(talk.troubles()).toEqual([])
  })

  it('sets function and range for each step by itself, and reads the error queue after every setting', () => {
    const talk = startTalk({}, steadyLeads)
    talk.instrument.settings['RES'] = { range: 1e6, auto: false }
    talk.pass(1)
    for (const [wanted, value] of [['resistance', 4712], ['diode', 0.612], ['capacitance', 4.7e-7], ['ac-voltage', 230], ['dc-voltage', 5.25]] as const) {
      talk.want({ function: wanted })
      talk.pass(2)
      const reading = talk.readings().at(-1)
      expect(reading?.function).toBe(wanted)
      expect(reading?.value).toBeCloseTo(value, 9)
    }
    expect(talk.instrument.settings['RES']).toEqual({ range: 10_000, auto: true })
    const { heard } = talk.instrument
    const settings = heard.flatMap((text, index) => (/^:(SENS:FUNC "|SENS:.*:RANG)/.test(text) ? [heard[index + 1]] : []))
    expect(settings.length).toBeGreaterThanOrEqual(5 + 4)
    for (const next of settings) expect(next).toMatch(/;:SYST:ERR\?$/)
  })

  it('puts function, ranges, trigger and status register back as it found them', () => {
    const talk = startTalk({}, steadyLeads)
    Object.assign(talk.instrument, { function: 'VOLT:AC', triggerSource: 'BUS', continuous: true, eventStatus: 60 })
    talk.instrument.settings['RES'] = { range: 1e6, auto: false }
    talk.pass(1)
    talk.want({ function: 'resistance' })
    talk.pass(1)
    expect(talk.instrument).toMatchObject({ function: 'RES', triggerSource: 'IMM', continuous: false, settings: { RES: { auto: true } } })
    expect(talk.readings().at(-1)).toMatchObject({ function: 'resistance', value: 4712, flags: ['auto-range'] })
    talk.leave()
    talk.pass(2)
    expect(talk.outputs.at(-1)?.kind).toBe('left')
    expect(talk.instrument).toMatchObject({ function: 'VOLT:AC', triggerSource: 'BUS', continuous: true, eventStatus: 60, settings: { RES: { range: 1e6, auto: false } }, errors: [] })
    const readings = talk.readings().length
    talk.pass(5)
    expect(talk.readings().length).toBe(readings)
  })

  it('says in words which errors were waiting, and which setting was refused', () => {
    const talk = startTalk({ errors: ['-310,"System error"', '17,"Fan stopped; cover open"'], refuses: /^SENS:FUNC "DIOD"$/ }, steadyLeads)
    talk.pass(1)
    expect(talk.troubles()).toEqual(['The meter had errors waiting: “System error” (-310: a fault of the meter itself), “Fan stopped; cover open” (17: an error of its own kind).'])
    talk.want({ function: 'diode' })
    talk.pass(2)
    expect(talk.troubles().at(-1)).toBe('The meter did not take “:SENS:FUNC "DIOD"”: it says “Settings conflict;SENS:FUNC” (-221: it cannot carry this out).')
    expect(talk.outputs.filter(({ kind }) => kind === 'cannot-set')).toMatchObject([{ function: 'diode' }])
    // It is not asked again and again, and what is read says which function it is.
    expect(talk.instrument.heard.filter((text) => text.includes('"DIOD"')).length).toBe(1)
    expect(talk.readings().at(-1)?.function).toBe('dc-voltage')
  })

  it('sets the range the step expects where the meter refuses to range by itself, and stays where it refuses that too', () => {
    const talk = startTalk({ refuses: /RANG:AUTO ON/ }, steadyLeads)
    talk.instrument.settings['RES'] = { range: 100, auto: false }
    talk.pass(1)
    talk.want({ function: 'resistance', about: 5600 })
    talk.pass(1)
    expect(talk.instrument.settings['RES']).toEqual({ range: 10_000, auto: false })
    expect(talk.readings().at(-1)).toMatchObject({ value: 4712, range: 10_000, flags: ['manual-range'] })

    const stuck = startTalk({ refuses: /RANG\S* \S/ }, steadyLeads)
    stuck.instrument.settings['RES'] = { range: 100, auto: false }
    stuck.pass(1)
    stuck.want({ function: 'resistance', about: 5600 })
    stuck.pass(1)
    expect(stuck.readings().at(-1)).toMatchObject({ function: 'resistance', value: 'overload' })
    expect(stuck.troubles().filter((text) => text.includes('RANG')).length).toBe(2)
  })

  it('keeps the range that was set for a step while ranges alternated', () => {
    const talk = startTalk({}, steadyLeads)
    talk.want({ function: 'resistance' })
    talk.pass(1)
    talk.want({ function: 'resistance', range: 100_000 })
    talk.pass(1)
    talk.want({ function: 'resistance' })
    talk.pass(1)
    expect(talk.instrument.settings['RES']).toEqual({ range: 100_000, auto: false })
    talk.want({ function: 'resistance', step: 'the next' })
    talk.pass(1)
    expect(talk.instrument.settings['RES']).toEqual({ range: 10_000, auto: true })
  })

  it('falls back on range and counts of the description where the meter tells no resolution', () => {
    const talk = startTalk({ unknown: /:RES\?$/ }, steadyLeads)
    talk.want({ function: 'resistance' })
    talk.pass(2)
    expect(talk.readings().at(-1)).toMatchObject({ range: 10_000, resolution: 0.1, value: 4712 })
    const bare = startTalk({ unknown: /:(RES|RANG|AUTO)\?$/ }, steadyLeads)
    bare.want({ function: 'resistance' })
    bare.pass(2)
    expect(bare.readings().at(-1)).toMatchObject({ range: null, resolution: 0.1, value: 4712 })
    expect(bare.troubles()).toEqual([])
  })

  it('takes an answer that comes in pieces, and slowly, for what it is', () => {
    const talk = startTalk({ pieces: { bytes: 3, apart: 0.02 }, answerSeconds: 0.05, readSeconds: 0.1, longForms: true }, steadyLeads, trainer({ timeoutSeconds: 1 }))
    talk.want({ function: 'ac-voltage' })
    talk.pass(8)
    expect(talk.readings().length).toBeGreaterThan(2)
    for (const { value } of talk.readings().slice(1)) expect(value).toBe(230)
    expect(talk.rejects()).toEqual([])
  })

  it('knows the long forms of its functions', () => {
    const talk = startTalk({ longForms: true }, steadyLeads)
    talk.pass(1)
    expect(talk.readings().at(-1)).toMatchObject({ function: 'dc-voltage', value: 5.25 })
  })

  it('makes no reading of an answer that comes after its time, and says that readings come too late', () => {
    const talk = startTalk({}, steadyLeads)
    talk.pass(1)
    const before = talk.readings().length
    talk.instrument.habits = { readSeconds: 0.8 }
    talk.pass(6)
    expect(talk.readings().length - before).toBeLessThanOrEqual(1)
    expect(talk.rejects()).toContain('an answer to an earlier question')
    expect(talk.outputs.filter(({ kind }) => kind === 'silent').at(-1)).toMatchObject({ text: expect.stringMatching(/come later than the 0\.5 s .* Set "timeoutSeconds" higher/) as string })
    talk.instrument.habits = {}
    talk.pass(3)
    expect(talk.readings().length).toBeGreaterThan(before + 5)
  })

  it('gives no reading older than its question, nor of another function, whatever is late and whoever turns the meter', () => {
    const functions = ['dc-voltage', 'resistance', 'diode', 'capacitance'] as const
    const size = { 'dc-voltage': 2, resistance: 3000, diode: 0.5, capacitance: 4e-7 }
    const scale: Partial<Record<InstrumentFunction, number>> = { VOLT: 2, RES: 3000, DIOD: 0.5, CAP: 4e-7 }
    // The value tells when it was measured: one part in a thousand a second.
    const clockwork: OnLeads = (what, at) => (scale[what] ?? 1e5) * (1 + at / 1000)
    let given = 0
    fc.assert(fc.property(
      fc.array(fc.record({
        wanted: fc.constantFrom(...functions), answer: fc.double({ min: 0, max: 0.9, noNaN: true }), read: fc.double({ min: 0, max: 0.9, noNaN: true }),
        piece: fc.integer({ min: 2, max: 60 }), apart: fc.double({ min: 0, max: 0.05, noNaN: true }), turned: fc.option(fc.constantFrom<InstrumentFunction>('VOLT', 'RES', 'DIOD', 'FREQ')),
        noise: fc.option(fc.constantFrom('7;"RES";', '\n', '12;+1.0E+00\n', 'xx', '+3.3E+00\n')), again: fc.option(fc.integer({ min: 1, max: 100 })), forSeconds: fc.double({ min: 0.05, max: 3, noNaN: true }),
      }), { minLength: 1, maxLength: 14 }),
      fc.integer({ min: 1, max: 255 }),
      (turns, firstTag) => {
        const talk = startTalk({}, clockwork, trainer(), firstTag)
        for (const { wanted, answer, read, piece, apart, turned, noise, again, forSeconds } of turns) {
          talk.instrument.habits = { answerSeconds: answer, readSeconds: read, pieces: { bytes: piece, apart } }
          talk.want({ function: wanted })
          talk.pass(forSeconds / 2)
          if (turned !== null) talk.instrument.function = turned
          if (noise !== null) talk.noise(noise)
          // An adapter that sends an old answer once more.
          const old = again === null ? undefined : talk.lines.at(-again)
          if (old !== undefined) talk.noise(`\n${old}\n`)
          talk.pass(forSeconds / 2)
        }
        talk.instrument.habits = {}
        talk.pass(8)
        for (const { at, function: fn, value } of talk.readings()) {
          const measuredAt = (Number(value) / size[fn as keyof typeof size] - 1) * 1000
          // A time-out after the question at the latest; the display shows 1/100000 of its range.
          expect(at - measuredAt).toBeLessThanOrEqual(0.5 + 0.11)
          expect(at - measuredAt).toBeGreaterThanOrEqual(-0.11)
          given += 1
        }
        // Who is turned back time and again is left to whoever turns it.
        const last = turns.at(-1)?.wanted
        if (!talk.outputs.some((output) => output.kind === 'cannot-set' && output.function === last)) expect(talk.readings().at(-1)?.function).toBe(last)
        else expect(turns.filter(({ turned }) => turned !== null).length).toBeGreaterThanOrEqual(3)
      }), { numRuns: 50, endOnFailure: true, seed: 4712 })
    expect(given).toBeGreaterThan(1000)
  })

  it('says that a meter that is switched off does not answer, and reads on as it was set when it is on again', () => {
    const talk = startTalk({}, steadyLeads)
    talk.want({ function: 'resistance' })
    talk.pass(1)
    talk.instrument.on = false
    talk.pass(3)
    expect(talk.outputs.filter(({ kind }) => kind === 'silent')).toMatchObject([{ text: null }])
    const before = talk.readings().length
    Object.assign(talk.instrument, { on: true, function: 'VOLT', eventStatus: 0, buffer: '' })
    talk.pass(3)
    expect(talk.readings().slice(before).map((reading) => reading.function).every((fn) => fn === 'resistance')).toBe(true)
    expect(talk.readings().length).toBeGreaterThan(before + 5)
    talk.leave()
    talk.pass(1)
    expect(talk.instrument.function).toBe('VOLT')
  })

  it('reads nothing from another instrument in its place and leaves it alone, until the first is back', () => {
    const talk = startTalk({ identity: 'first' }, steadyLeads)
    talk.want({ function: 'resistance' })
    talk.pass(1)
    const mine = { ...talk.instrument }
    talk.instrument.on = false
    talk.pass(0.6)
    Object.assign(talk.instrument, { on: true, habits: { identity: 'second' }, function: 'VOLT', eventStatus: 9, buffer: '', heard: [] })
    const before = talk.readings().length
    talk.pass(10)
    expect(talk.outputs.filter(({ kind }) => kind === 'another')).toMatchObject([{ was: 'first', is: 'second' }])
    expect(talk.readings().length).toBe(before)
    expect(talk.instrument.function).toBe('VOLT')
    expect(talk.instrument.eventStatus).toBe(9)
    expect(talk.instrument.heard.every((text) => text.includes('*IDN?') || text === '*ESE 9')).toBe(true)
    Object.assign(talk.instrument, { habits: { identity: 'first' }, function: mine.function })
    talk.pass(3)
    expect(talk.outputs.some(({ kind }) => kind === 'same-again')).toBe(true)
    expect(talk.readings().length).toBeGreaterThan(before)
  })

  it('leaves a function to the technician that the meter takes and does not keep', () => {
    const talk = startTalk({}, steadyLeads)
    talk.pass(1)
    Object.defineProperty(talk.instrument, 'function', { get: () => 'VOLT', set: () => undefined })
    talk.want({ function: 'resistance' })
    talk.pass(5)
    expect(talk.outputs.filter(({ kind }) => kind === 'cannot-set')).toMatchObject([{ function: 'resistance' }])
    expect(talk.troubles()).toEqual(['The meter took the setting “RES”, but still measures “VOLT”. Set it by hand.'])
    expect(talk.instrument.heard.filter((text) => text.includes('FUNC "RES"')).length).toBeLessThanOrEqual(3)
  })

  it('is not misled by a name that was damaged on its way', () => {
    const talk = startTalk({ pieces: { bytes: 4, apart: 0.001 } }, steadyLeads)
    talk.pass(0.005)
    talk.noise('#')
    talk.pass(2)
    expect(talk.lines[0]).toMatch(/#/)
    expect(talk.outputs.filter(({ kind }) => kind === 'another')).toEqual([])
    expect(talk.readings().length).toBeGreaterThan(5)
  })

  it('goes on without an error queue, and says so', () => {
    const talk = startTalk({ unknown: /^SYST:ERR/ }, steadyLeads)
    talk.want({ function: 'resistance' })
    talk.pass(4)
    expect(talk.readings().at(-1)).toMatchObject({ function: 'resistance', value: 4712 })
    expect(talk.troubles()[0]).toMatch(/no error queue/)
  })

  it('takes overload for what it is, and a value that is no number for none', () => {
    const talk = startTalk({}, (what) => (what === 'RES' ? null : -2000))
    talk.pass(1)
    expect(talk.readings().at(-1)).toMatchObject({ function: 'dc-voltage', value: 'negative-overload', resolution: null })
    talk.want({ function: 'resistance' })
    talk.pass(1)
    expect(talk.readings().at(-1)).toMatchObject({ function: 'resistance', value: 'overload' })
    const none = startTalk({}, () => 9.91e37)
    none.pass(1)
    expect(none.readings().every(({ value }) => value === 'overload')).toBe(true)
  })
})
