import { describe, expect, it } from 'vitest'
import type { BoardType } from '../../../src-core/board/board-type'
import { dictionaryOf } from '../../../src-core/circuit/dictionary'
import { type Fault, faultText } from '../../../src-core/circuit/faults'
import { genericDrives, type MeterDrives } from '../../../src-core/circuit/meter-drive'
import { networkOf } from '../../../src-core/circuit/network'
import { read, readerOf } from '../../../src-core/circuit/read'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { randomBoard, randomFaults } from '../../bench-tools/random-boards'
import { sampleBoard, shippedBoards } from './sample'
import { drawnCount, sampled } from '../../bench-tools/sampled'

/** Readings of the dictionary that differ from the plain solver's by more than 10⁻⁶ of them; every `each`th state is looked at. */
const differing = (board: BoardType, drives: MeterDrives, faults: Fault[] | undefined, each: number): { points: number; words: string[] } => {
  const dictionary = dictionaryOf(board, faults === undefined ? { drives } : { drives, faults })
  const { placements, functions, values } = dictionary
  const words: string[] = []
  let points = 0
  for (let state = 0; state <= dictionary.faults.length; state += each) {
    const fault = dictionary.faults[state - 1]
    const reader = readerOf(networkOf(board, fault === undefined ? [] : [fault]))
    placements.forEach(({ red, black }, placement) => functions.forEach((what, which) => {
      const plain = read(reader, red, black, what, drives)
      const [here, there] = [values[(state * placements.length + placement) * functions.length + which] ?? Number.NaN, plain.ok ? plain.value : Number.NaN]
      points += 1
      const off = there === 'overload' ? (here === Infinity ? 0 : 1) : Math.abs(here - there) / Math.max(Math.abs(there), 1e-9)
      if (!(off <= 1e-6)) words.push(`${fault === undefined ? 'good' : faultText(fault)}, ${what} ${red} to ${black}: ${here}, plainly ${there}`)
    }))
  }
  return { points, words }
}

/** Parts of the largest board. */
const most = drawnCount(25, 40)

const ranged: MeterDrives = {
  ...genericDrives,
  resistance: { plus: 'black', ceiling: 6e6, typical: false, ranges: [
    { fullScale: 600, volts: 0.4, ohms: 1000, amperes: Infinity }, { fullScale: 60_000, volts: 0.4, ohms: 100_000, amperes: Infinity },
    { fullScale: 6e6, volts: 1.2, ohms: 1e6, amperes: Infinity },
  ] },
  diode: { plus: 'black', ceiling: 2.5, typical: false, ranges: [{ fullScale: 2.5, volts: 3.2, ohms: 2000, amperes: 0.0009 }] },
}

describe('the dictionary says what the plain solver says, to 10⁻⁶', () => {
  it.each(shippedBoards)('on the %s', (folder) => {
    const { points, words } = differing(sampleBoard(folder), genericDrives, undefined, drawnCount(12, 3))
    expect(words).toEqual([])
    expect(points).toBeGreaterThan(1000)
  })
  it.each(sampled([101, 102], 1))(`on a drawn board of ${most} parts, seed %d, every 25th fault`, (seed) => {
    expect(differing(randomBoard(most, seededRandom(seed)), genericDrives, undefined, 25).words).toEqual([])
  })
  it.each(sampled([201, 202, 203], 1))('with a meter of several ranges and plus on black, on a drawn board of 20 parts, seed %d', (seed) => {
    expect(differing(randomBoard(20, seededRandom(seed)), ranged, undefined, 10).words).toEqual([])
  })
  it('with faults of any figure, on drawn boards of 3 to 12 parts', () => {
    for (let seed = 0; seed < drawnCount(10, 40); seed += 1) {
      const random = seededRandom(seed)
      const board = randomBoard(3 + (seed % 10), random)
      expect(differing(board, genericDrives, Array.from({ length: 8 }, () => randomFaults(board, 1, random)).flat(), 1).words, `seed ${seed}`).toEqual([])
    }
  })
})
