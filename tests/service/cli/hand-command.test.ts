import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readHandCommand } from '../../../src-main/cli/hand-command'
import { contractAddress } from '../../../src-main/cli/follow-app'
import type { Hand } from '../../../src-core/practice/hand'
import { sampleBoard } from '../practice/shipped'

const board = sampleBoard()
const present: Hand = { tips: { leads: { red: 'J1.1', black: 'R4.2' } }, function: 'resistance' }
const read = (line: string) => readHandCommand(line, board, present)

describe('what is typed to the practice meter', () => {
  it('places the leads and turns the dial', () => expect(read('diode J2.2 R3.2')).toEqual({ kind: 'hand',
    hand: { tips: { leads: { red: 'J2.2', black: 'R3.2' } }, function: 'diode' } }))
  it('turns the dial alone', () => expect(read('diode')).toEqual({ kind: 'hand', hand: { ...present, function: 'diode' } }))
  it('lifts, joins and parts the leads with the dial as it is', () => {
    expect(read('lift')).toEqual({ kind: 'hand', hand: { tips: 'lifted', function: 'resistance' } })
    expect(read('joined')).toEqual({ kind: 'hand', hand: { tips: { fixture: 'leads-joined', reversed: false }, function: 'resistance' } })
    expect(read('apart')).toEqual({ kind: 'hand', hand: { tips: { fixture: 'leads-apart', reversed: false }, function: 'resistance' } })
  })
  it('takes a known diode either way round, and a known source', () => {
    expect(read('known-diode reversed')).toEqual({ kind: 'hand',
      hand: { tips: { fixture: 'known-diode', reversed: true }, function: 'diode' } })
    expect(read(' known-source ')).toEqual({ kind: 'hand', hand: { tips: { fixture: 'known-source', reversed: false },
      function: 'dc-voltage' } })
  })
  it('Enter is the next placement; quit is the end', () => {
    expect(read('')).toEqual({ kind: 'next' })
    expect(read('quit')).toEqual({ kind: 'quit' })
  })
  it('says what is wrong', () => {
    expect(read('ohms J1.1 J1.2')).toMatchObject({ kind: 'problem',
      message: expect.stringMatching(/^"ohms" is neither a function \(dc-voltage, .* nor one of joined,/) as string })
    expect(read('diode J1.1')).toMatchObject({ kind: 'problem',
      message: 'Write two test points after the function, red then black, such as: diode J1.1 J1.2' })
    expect(read('diode J1.1 X9')).toMatchObject({ kind: 'problem',
      message: expect.stringMatching(/^Vent driver node has no test point X9\. It has J1\.1,/) as string })
    expect(read('joined twice')).toMatchObject({ kind: 'problem', message: '"joined" takes nothing more.' })
  })
  it('never throws', () => { fc.assert(fc.property(fc.string(), (line) => { expect(read(line).kind).toBeTypeOf('string') }),
    { seed: 1, numRuns: 300 }) })
})

describe('the app’s address', () => {
  it('gives the contract’s', () =>
    expect(contractAddress('http://127.0.0.1:4400/#abc_-1')).toEqual({ url: 'ws://127.0.0.1:4400/contract?token=abc_-1',
      origin: 'http://127.0.0.1:4400' }))
  it.each(['http://127.0.0.1:4400/', 'http://example.org:4400/#abc', '4400', 'http://127.0.0.1:4400'])('%s is none', (address) =>
    expect(() => contractAddress(address)).toThrow(/is not the app's address/))
})
