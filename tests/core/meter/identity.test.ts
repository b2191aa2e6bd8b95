/** Which meter it is: a reply proves one unit, an asset number names one, a cable neither. */
import { describe, expect, it } from 'vitest'
import { answersWhichMeter, assetMisfit, cableHint, identified, meterWithAsset, namesOneUnit, sameUnit, type MeterIdentity } from '../../../src-core/meter/identity'
import type { Meter } from '../../../src-core/meter/instrument'
import { blankRegisterEntry, type RegisterEntry } from '../../../src-core/meter/register'
import { freeName, registerProblem } from '../../../src-core/meter/register-check'
import { checkedMeter } from '../run/a-run'

const meter = (id: string, register: Partial<RegisterEntry> = {}): Meter => ({ ...checkedMeter, id, name: `Bench ${id}`, register: { ...blankRegisterEntry, ...register } })
const reply = 'Fenwick Bench,BM-8,SN20417,1.02'

describe('a reply to *IDN?', () => {
  const known = meter('1', { identification: reply })
  it('that is kept with the meter proves it', () => {
    expect(identified(known, [known], `${reply}\r\n`)).toEqual({ kind: 'proven', reply })
  })
  it('of the same unit with a newer firmware proves it too, and is kept in place of the old one', () => {
    expect(identified(known, [known], 'Fenwick Bench,BM-8,SN20417,1.10')).toEqual({ kind: 'proven', reply: 'Fenwick Bench,BM-8,SN20417,1.10' })
  })
  it('is kept where there was none, and proves nothing yet', () => {
    expect(identified(meter('2'), [known, meter('2')], 'Fenwick Bench,BM-8,SN99,1.02')).toEqual({ kind: 'first', reply: 'Fenwick Bench,BM-8,SN99,1.02' })
  })
  it('of another meter of the shop names that one, whether or not this one has a reply', () => {
    const second = meter('2', { identification: 'Fenwick Bench,BM-8,SN99,1.02' })
    expect(identified(second, [known, second], reply)).toEqual({ kind: 'other', as: known })
    expect(identified(meter('3'), [known, second, meter('3')], reply)).toEqual({ kind: 'other', as: known })
  })
  it('that nobody of the shop gives is that of another meter, not of this one', () => {
    expect(identified(known, [known], 'Fenwick Bench,BM-8,SN3,1.02')).toEqual({ kind: 'other', as: null })
  })
  // IEEE 488.2-1992, 10.14.3 (from memory): four fields; ASCII "0" where there is no serial number.
  it.each(['Fenwick Bench,BM-8,0,1.02', 'Fenwick Bench,BM-8,,1.02', 'BM-8'])('without a serial number, “%s”, never tells two of a kind apart', (plain) => {
    expect(namesOneUnit(plain)).toBe(false)
    const first = meter('1', { identification: plain })
    const second = meter('2', { identification: plain })
    expect(identified(first, [first, second], plain)).toEqual({ kind: 'alike' })
    expect(identified(meter('3'), [first, second], plain)).toEqual({ kind: 'first', reply: plain })
    // Another kind is another meter even so; which one of its kind, nobody knows.
    expect(identified(first, [first, second], 'Fenwick Bench,BM-9,0,1.02')).toEqual({ kind: 'other', as: null })
  })
  it('is compared without regard to spaces and capitals', () => {
    expect(sameUnit('Fenwick Bench, BM-8, SN20417, 1.02', 'FENWICK BENCH,BM-8,SN20417,1.00')).toBe(true)
    expect(sameUnit('Fenwick Bench,BM-8,SN20417,1.02', 'Fenwick Bench,BM-8,SN20418,1.02')).toBe(false)
  })
})

describe('an asset number', () => {
  const [one, two, none] = [meter('1', { assetNumber: 'A-0011' }), meter('2', { assetNumber: 'A-0012' }), meter('3')]
  const shop = [one, two, none]
  it('is that of the meter, however it was typed', () => {
    expect(assetMisfit(one, shop, ' a-0011 ')).toBeNull()
    expect(meterWithAsset(shop, '  ')).toBeNull()
  })
  it('of another meter is refused with that meter’s name', () => {
    expect(assetMisfit(one, shop, 'A-0012')).toMatch(/^“A-0012” is the asset number of Bench 2, not of Bench 1\./)
  })
  it('that nobody has is refused with what the meter has', () => {
    expect(assetMisfit(one, shop, 'B-7')).toBe('No meter of this shop has the asset number “B-7”. Bench 1 has “A-0011”.')
    expect(assetMisfit(none, shop, 'B-7')).toMatch(/Bench 3 has none yet: confirm it by a press/)
  })
  it('belongs to one meter only', () => {
    expect(registerProblem({ ...none, register: { ...none.register, assetNumber: 'a-0012' } }, shop)).toBe('Asset number: “a-0012” is that of Bench 2 already. Each meter has its own.')
    expect(registerProblem(two, shop)).toBeNull()
  })
  it('scanned where a serial number is awaited answers only while the question is open', () => {
    const open: MeterIdentity = { meter: '1', name: 'Bench 1', identity: 'assumed', words: '', contradicted: false, offer: null }
    expect(answersWhichMeter(open, shop, 'A-0012')).toBe(true)
    expect(answersWhichMeter(open, shop, 'MV-0007')).toBe(false)
    expect(answersWhichMeter({ ...open, identity: 'confirmed' }, shop, 'A-0011')).toBe(false)
    expect(answersWhichMeter(null, shop, 'A-0011')).toBe(false)
  })
})

describe('a cable', () => {
  it('only hints at what hung on it last', () => {
    const shop = [meter('1', { cable: 'f1f1:0001 K7' }), meter('2')]
    expect(cableHint(shop, 'f1f1:0001 K7')).toBe('This cable last hung on Bench 1. It may hang on another now.')
    expect(cableHint(shop, 'f1f1:0001 K8')).toBeNull()
    expect(cableHint(shop, null)).toBeNull()
  })
})

describe('the name of a meter', () => {
  const [one, two] = [meter('1'), meter('2')]
  it('is its own: one that another bears is refused, however it is written', () => {
    expect(registerProblem({ ...two, name: ' bench 1' }, [one, two])).toBe('Name: another meter is called “bench 1” already. Each meter has a name of its own.')
    expect(registerProblem(one, [one, two])).toBeNull()
  })
  it('that is given to a meter the shop has not met gets a number where it is taken', () => {
    expect(freeName('Bench 3', [one, two])).toBe('Bench 3')
    expect(freeName('Bench 1', [one, two])).toBe('Bench 1 2')
    expect(freeName('x'.repeat(90), [{ id: '9', name: 'x'.repeat(80) }])).toBe(`${'x'.repeat(76)} 2`)
  })
})
