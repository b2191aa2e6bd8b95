/** SCPI over real pseudo-terminals: the link sets, reads and puts back a simulated instrument, and says what is wrong in words. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { hearLink, type HeardLink } from '../../bench-tools/heard-link'
import { putInstrumentOn, type InstrumentOnPort } from '../../bench-tools/instrument-on-port'
import { openPtyPair, socatIsHere, type PtyPair } from '../../bench-tools/pty-pair'
import { trainer } from '../../bench-tools/scpi-description'
import type { InstrumentHabits, OnLeads } from '../../bench-tools/scpi-instrument'

const onLeads: OnLeads = (what) => (what === 'RES' ? 4712 : what === 'DIOD' ? 0.612 : 5.25)
const description = trainer({ everySeconds: 0.05, timeoutSeconds: 0.4 })
const poll = { timeout: 20_000, interval: 20 }

describe.skipIf(!socatIsHere)('an instrument that speaks SCPI', () => {
  let pair: PtyPair
  let heard: HeardLink
  let on: InstrumentOnPort
  const put = async (habits: InstrumentHabits = {}): Promise<void> => { on = await putInstrumentOn(pair.meterEnd, habits, onLeads) }
  beforeEach(async () => {
    pair = await openPtyPair()
    heard = hearLink()
  })
  afterEach(async () => {
    await heard.close()
    await on.stop()
    await pair.close()
  })

  it('is identified, set to what the step asks for, read, and put back as it was when it is disconnected', async () => {
    await put({ identity: 'Our own bench,Trainer,7,2' })
    Object.assign(on.instrument, { function: 'CAP', eventStatus: 32 })
    on.instrument.settings['RES'] = { range: 1e6, auto: false }
    await heard.connect(pair.appEnd, description)
    heard.link.want({ step: 'r1', function: 'resistance', range: 'auto', about: 5000 })
    await expect.poll(() => heard.readings.at(-1), poll).toMatchObject({ function: 'resistance', value: 4712, range: 10_000, resolution: 0.1, flags: ['auto-range'] })
    expect(heard.link.view()).toMatchObject({ status: 'open', identification: 'Our own bench,Trainer,7,2', message: null, rejects: 0 })
    expect(heard.identified[0]).toBe('Our own bench,Trainer,7,2')
    heard.link.want({ step: 'd1', function: 'diode', range: 'auto', about: null })
    await expect.poll(() => heard.readings.at(-1), poll).toMatchObject({ function: 'diode', value: 0.612 })
    heard.link.disconnect()
    expect(heard.link.isLeaving()).toBe(true)
    const { length } = heard.readings
    await heard.link.released()
    await expect.poll(() => on.instrument, poll).toMatchObject({ function: 'CAP', eventStatus: 32, errors: [] })
    expect(on.instrument.settings['RES']).toEqual({ range: 1e6, auto: false })
    expect(heard.readings.length).toBe(length)
    expect(heard.link.view()).toMatchObject({ status: 'closed', message: null, identification: null })
  })

  it('is put back before the same port is opened for another meter', async () => {
    await put()
    await heard.connect(pair.appEnd, description)
    heard.link.want({ step: 'r1', function: 'resistance', range: 'auto', about: null })
    await expect.poll(() => heard.readings.at(-1)?.function, poll).toBe('resistance')
    heard.link.want(null)
    await heard.connect(pair.appEnd, description)
    await expect.poll(() => heard.readings.at(-1)?.function, poll).toBe('dc-voltage')
    expect(on.instrument.function).toBe('VOLT')
  })

  it('has its errors shown in words beside the state of the link, and leaves a refused function to the technician', async () => {
    await put({ errors: ['-350,"Queue overflow"'], refuses: /^SENS:FUNC "DIOD"/ })
    await heard.connect(pair.appEnd, description)
    await expect.poll(() => heard.link.view().message, poll).toBe('The meter had errors waiting: “Queue overflow” (-350: a fault of the meter itself).')
    heard.link.want({ step: 'd1', function: 'diode', range: 'auto', about: null })
    await expect.poll(() => heard.link.view().message, poll).toContain('The meter did not take “:SENS:FUNC "DIOD"”: it says “Settings conflict;SENS:FUNC” (-221: it cannot carry this out).')
    expect(heard.cannotSet).toEqual(['diode'])
    expect(heard.link.view().status).toBe('open')
  })

  it('may be slow and answer in pieces', async () => {
    await put({ answerSeconds: 0.05, readSeconds: 0.1, pieces: { bytes: 5, apart: 0.005 } })
    await heard.connect(pair.appEnd, description)
    await expect.poll(() => heard.readings.length, poll).toBeGreaterThan(3)
    expect(heard.readings.every(({ value }) => value === 5.25)).toBe(true)
    expect(heard.link.view()).toMatchObject({ status: 'open', rejects: 0, message: null })
  })

  it('gives no reading while its answers come too late, which is said, and goes on once they are in time', async () => {
    await put({ readSeconds: 0.7 })
    await heard.connect(pair.appEnd, description)
    await expect.poll(() => heard.link.view().message, poll).toMatch(/come later than the 0\.4 s .* Set "timeoutSeconds" higher/)
    expect(heard.link.view().status).toBe('silent')
    expect(heard.readings).toEqual([])
    on.instrument.habits = {}
    await expect.poll(() => heard.link.view(), poll).toMatchObject({ status: 'open', message: null })
    expect(heard.readings.every(({ value }) => value === 5.25)).toBe(true)
  })

  it('says that it does not answer any more when it is switched off in mid-run, and is set again when it is on', async () => {
    await put()
    await heard.connect(pair.appEnd, description)
    heard.link.want({ step: 'r1', function: 'resistance', range: 'auto', about: null })
    await expect.poll(() => heard.readings.at(-1)?.function, poll).toBe('resistance')
    on.instrument.on = false
    await expect.poll(() => heard.link.view(), poll).toMatchObject({ status: 'silent', message: expect.stringMatching(/^The meter does not answer any more\. Is it switched on/) as string })
    const { length } = heard.readings
    Object.assign(on.instrument, { on: true, function: 'VOLT', buffer: '' })
    await expect.poll(() => heard.readings.length, poll).toBeGreaterThan(length + 2)
    expect(heard.readings.slice(length).every((reading) => reading.function === 'resistance')).toBe(true)
    expect(heard.link.view()).toMatchObject({ status: 'open', message: null })
  })

  it('is refused by name when the cable hangs on another one in mid-run, and taken again when it is back', async () => {
    await put({ identity: 'first,one,1,1' })
    await heard.connect(pair.appEnd, description)
    await expect.poll(() => heard.readings.length, poll).toBeGreaterThan(2)
    await pair.unplug()
    await on.stop()
    await expect.poll(() => heard.link.view().status, poll).toBe('lost')
    await pair.plugIn()
    await put({ identity: 'second,one,2,1' })
    await expect.poll(() => heard.link.view().message, poll).toMatch(/hangs on another instrument now: it says it is “second,one,2,1”; the one connected is “first,one,1,1”/)
    const { length } = heard.readings
    expect([heard.lost, heard.back, heard.link.view().status]).toEqual([1, 0, 'lost'])
    await pair.unplug()
    await on.stop()
    await pair.plugIn()
    await put({ identity: 'first,one,1,1' })
    await expect.poll(() => heard.link.view(), poll).toMatchObject({ status: 'open', message: null, identification: 'first,one,1,1' })
    expect(heard.readings.length).toBeGreaterThan(length)
    expect([heard.lost, heard.back]).toEqual([1, 1])
  })
})
