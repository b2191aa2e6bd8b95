/** Bridges that no fault of a part reads like, found from exact readings at the placements that separate single faults. */
import { describe, expect, it } from 'vitest'
import { diagnose } from '../../../../src-core/circuit/diagnose'
import type { Diagnosis } from '../../../../src-core/circuit/diagnosis'
import type { Fault } from '../../../../src-core/circuit/faults'
import { neighbouringNets } from '../../../../src-core/circuit/neighbours'
import type { FileReading } from '../../../../src-core/circuit/readings-file'
import { type AnyBoard, sampleBoard } from '../sample'
import { allowedPlacements } from '../score/placements'
import { baselinesFor } from '../score/score'
import { fileOf, readingOf } from './small-boards'

type Pair = [string, string]
const bridge = (nets: Pair): Fault => ({ kind: 'bridge', nets, ohms: 0.5 })

/** A meter's readings in the fixed order that separates single faults, and after them one straight across each of `across`. */
const readingsOf = (folder: AnyBoard, faults: readonly Fault[], across: readonly Pair[] = []): FileReading[] => {
  const board = sampleBoard(folder)
  const placements = allowedPlacements(board)
  const tip = (net: string): string => board.testPoints.find((point) => point.net === net)?.id ?? ''
  return [...baselinesFor(board).separating.flatMap((at) => placements[at] ?? []), ...across.map(([a, b]) => ({ red: tip(a), black: tip(b), function: 'resistance' as const }))]
    .map(({ red, black, function: what }) => readingOf(board, faults, { red, black, function: what }))
}
const found = (folder: AnyBoard, faults: readonly Fault[], across: readonly Pair[] = []): Diagnosis =>
  diagnose(sampleBoard(folder), fileOf(sampleBoard(folder), readingsOf(folder, faults, across)))

const bridged: [AnyBoard, Pair][] = [
  ['frost-sensor', ['OUT', 'V5_IN']], ['frost-sensor', ['PROBE', 'SENSE']], ['frost-sensor', ['REF', 'SENSE']],
  ['soil-relay', ['GND', 'V24_IN']], ['vent-driver-node', ['A_IC', 'VCC']],
]

describe('a bridge between neighbouring nets', () => {
  it.each(bridged)('is the first class on %s between %s, and is measured across before anything is said of a part', (folder, nets) => {
    const board = sampleBoard(folder)
    expect(neighbouringNets(board).map((pair) => pair.join())).toContain(nets.join())
    const { classes, parts, next, notes } = found(folder, [bridge(nets)])
    expect(classes[0]?.sets[0]).toEqual([expect.objectContaining({ kind: 'bridge', nets })])
    expect(classes[0]?.probability).toBeLessThan(0.95)
    expect(parts.filter(({ report }) => report === 'faulty')).toEqual([])
    expect(notes.join(' ')).toContain(`a bridge between ${nets.join(' and ')} does`)
    const netOf = (id: string): string => board.testPoints.find((point) => point.id === id)?.net ?? ''
    const [first] = next.flatMap(({ action }) => (action.kind === 'measure' ? [action.placement] : []))
    expect(first?.function).toBe('resistance')
    expect([netOf(first?.red ?? ''), netOf(first?.black ?? '')].sort()).toEqual([...nets].sort())
  }, 60_000)
  it.each(bridged.slice(0, 2))('is surer on %s between %s once measured across, and no part is called faulty', (folder, nets) => {
    const { classes, parts, notes } = found(folder, [bridge(nets)], [nets])
    expect(classes[0]?.probability).toBeGreaterThan(0.9)
    expect(classes[0]?.sets[0]).toEqual([expect.objectContaining({ kind: 'bridge', nets })])
    expect(parts.filter(({ report }) => report === 'faulty')).toEqual([])
    expect(parts.filter(({ report }) => report === 'good').length).toBeGreaterThan(0)
    expect(notes.join(' ')).toContain('Look between these nets')
  }, 60_000)
  it('is not looked for where a part explains the readings', () => {
    const { classes, notes } = found('frost-sensor', [{ ref: 'D1', pin: null, kind: 'short', ohms: 0.5 }])
    expect(classes.flatMap(({ sets }) => sets.flat()).some(({ kind }) => kind === 'bridge')).toBe(false)
    expect(notes.join(' ')).not.toContain('bridge between')
  })
})
