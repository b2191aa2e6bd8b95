/** A failed run of which the readings say that perhaps no part is at fault: said with the chance, and with what it is then. */
import { describe, expect, it } from 'vitest'
import { failedWithoutFault, isFailedWithoutFault, likelyInWords } from '../../../src-core/run/diagnosis-view'

const told = { problem: null, noPart: '21 %', readings: 7 }

describe('a failed run and no part at fault', () => {
  it('names the step that failed, the chance, and what it is then', () => {
    expect(failedWithoutFault([{ title: 'F1 fuse' }], told)).toBe('F1 fuse failed, and the readings do not tie that to a part for certain: 21 % that no part is at fault, but the tolerances together, a contact, or the limits themselves.')
    expect(failedWithoutFault([{ title: 'F1 fuse' }, { title: 'R1' }], told)).toMatch(/^2 steps failed, /)
  })

  it('says nothing where nothing failed, where a part is tied to it, or where nothing was worked out', () => {
    const { noPart: _, ...tied } = told
    expect([failedWithoutFault([], told), failedWithoutFault([{ title: 'F1' }], tied), failedWithoutFault([{ title: 'F1' }], { ...told, problem: 'It stopped.' }), failedWithoutFault([{ title: 'F1' }], { ...told, readings: 0 })]).toEqual([null, null, null, null])
  })

  it('has no headline that nothing is at fault: the failed step is touched again', () => {
    const none = { number: 1, words: 'no part is at fault', chance: '84 %', alike: [] }
    const r3 = { ...none, words: 'R3 is open', chance: '7 %' }
    expect(likelyInWords(none, true)).toEqual({ words: 'these readings tie the failure to no part: touch the failed step again', chance: '84 % that no part is at fault' })
    expect([likelyInWords(none, false), likelyInWords(r3, true)]).toEqual([{ words: 'no part is at fault', chance: '84 %' }, { words: 'R3 is open', chance: '7 %' }])
    expect([isFailedWithoutFault(true, { likely: [none, r3] }), isFailedWithoutFault(true, { likely: [r3, none] }), isFailedWithoutFault(false, { likely: [none] })]).toEqual([true, false, false])
  })
})
