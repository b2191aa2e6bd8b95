/** Limits of steps nobody typed any for: what good boards read there with this meter. */
import { describe, expect, it } from 'vitest'
import type { BoardType, MeasureStep } from '../../../src-core/board/board-type'
import { computedLimits, boardWithLimits, wereMade } from '../../../src-core/circuit/computed-limits'
import { expectedInside, failedSteps } from '../../../src-core/circuit/failed-steps'
import { drivesOfRegister, genericDrives } from '../../../src-core/circuit/meter-drive'
import { networkOf } from '../../../src-core/circuit/network'
import { readsAcross } from '../../../src-core/circuit/expected-reading'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { drawSpread } from '../../../src-core/circuit/spread'
import { checkBoard } from '../../../src-core/board/check'
import { faultsOf, limitsOf, sampleBoard, sampleJson, shippedBoards } from './sample'

const withoutLimits = (board: BoardType): BoardType => ({
  ...board, sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => { if (step.kind !== 'measure') return step; const { limits: _typed, ...rest } = step; return rest }) },
})
const measured = (board: BoardType): MeasureStep[] => board.sequence.steps.filter((step) => step.kind === 'measure')
const netOf = (board: BoardType, id: string): string => board.testPoints.find((point) => point.id === id)?.net ?? ''
const made = (board: BoardType, id: string, options: Parameters<typeof computedLimits>[1] = {}) => {
  const own = computedLimits(board, options)[id]
  if (own === undefined || !wereMade(own)) throw new Error(own !== undefined && 'refused' in own ? own.refused : 'not computed')
  return own
}

describe.each(shippedBoards)('%s with no limits in its file', (folder) => {
  const bare = withoutLimits(sampleBoard(folder))
  const limited = boardWithLimits(bare, computedLimits(bare))

  it('has them computed for every measure step, and the same each time', () => {
    expect(measured(limited).map(({ limits }) => limits !== undefined)).toEqual(measured(limited).map(() => true))
    expect(computedLimits(bare)).toEqual(computedLimits(bare))
  })
  it('a good board passes every step, wherever in their tolerances its parts lie, from 15 °C to 35 °C (200 boards of other seeds)', () => {
    const bad: string[] = []
    for (let seed = 5000; seed < 5200; seed += 1) {
      const random = seededRandom(seed)
      const network = networkOf(limited, [], { spread: drawSpread(limited, random), celsius: 15 + 20 * random() })
      for (const step of measured(limited)) {
        const found = readsAcross(network, netOf(limited, step.red), netOf(limited, step.black), step.function)
        if (!found.ok || !expectedInside(limitsOf(step), found.value, step.function)) bad.push(`${step.id}, seed ${seed}`)
      }
    }
    expect(bad).toEqual([])
  })
})

describe('computed limits', () => {
  const bare = withoutLimits(sampleBoard())
  it('judge a fault as typed ones do', () => {
    const limited = boardWithLimits(bare, computedLimits(bare))
    expect(failedSteps(limited, faultsOf(limited, 'R4:drifted=2'))).toEqual(['r4'])
    expect(failedSteps(limited, faultsOf(limited, 'D2:open'))).toEqual(['d2-forward'])
  })
  it('of a fuse are a short in continuity as in resistance, which a meter that steps by a tenth of an ohm can judge', () => {
    const fuse = measured(bare).find(({ id }) => id === 'f1')
    expect(fuse?.function).toBe('continuity')
    const asResistance: BoardType = { ...bare, sequence: { ...bare.sequence, steps: bare.sequence.steps.map((step) => (step.kind === 'measure' && step.id === 'f1' ? { ...step, function: 'resistance' as const } : step)) } }
    expect([made(bare, 'f1').limits, made(asResistance, 'f1').limits]).toEqual(['short', 'short'])
  })
  it('leave typed ones as they are', () => {
    const [step] = measured(sampleBoard('frost-sensor'))
    expect(computedLimits(sampleBoard())).toEqual({})
    expect(boardWithLimits(sampleBoard(), computedLimits(bare)).sequence).toEqual(sampleBoard().sequence)
    expect(Object.keys(computedLimits(sampleBoard('frost-sensor')))).toEqual(['r2', 'd2-forward', 'r4'])
    expect(step?.limits).toBeDefined()
  })
  it('hold the tolerance of a resistor alone, and say what a good board reads', () => {
    const { limits, value, low, high, source } = made(bare, 'r4')
    expect(value).toBeCloseTo(220, 2)
    // 2 %: the interval ends near 215.6 Ω and 224.4 Ω, never inside what the tolerance allows by more than the draws leave open.
    expect([Number(low) < 217 && Number(low) > 214, Number(high) > 223 && Number(high) < 226]).toEqual([true, true])
    expect(typeof limits === 'object' && 'between' in limits && limits.between[0] < 215.6 && limits.between[1] > 224.4).toBe(true)
    expect(source).toEqual({ volts: 0.5, ohms: 10_000, amperes: 0.001, plus: 'red', typical: true })
  })
  it('of a junction are those of the meter’s own source, and say that it is its own', () => {
    const own = drivesOfRegister({ sources: [{ function: 'diode', range: null, volts: 3, ohms: 250_000, amperes: null, plus: 'red', origin: 'entered' }], ranges: [] } as never)
    const [weak, usual] = [made(bare, 'd2-forward', { drives: own }), made(bare, 'd2-forward')]
    // 10 µA rather than 1 mA: two decades, some 0.1 V a decade at an ideality of 1.75.
    expect(Number(usual.value) - Number(weak.value)).toBeGreaterThan(0.15)
    expect([weak.source?.typical, usual.source?.typical]).toEqual([false, true])
    expect(weak.source).toMatchObject({ volts: 3, ohms: 250_000, amperes: null })
    expect(genericDrives.diode.typical).toBe(true)
  })
  it('of a junction grow with the temperatures of the bench', () => {
    const span = (celsius: readonly [number, number]): number => { const { low, high } = made(bare, 'd2-forward', { celsius }); return Number(high) - Number(low) }
    expect(span([-10, 50])).toBeGreaterThan(span([15, 35]) + 0.04)
  })
  const refusal = (change: Partial<MeasureStep>, board = bare): string | null => {
    const steps = board.sequence.steps.map((step) => (step.id === 'r4' ? { ...step, ...change } as MeasureStep : step))
    const own = computedLimits({ ...board, sequence: { ...board.sequence, steps } }).r4
    return own !== undefined && 'refused' in own ? own.refused : null
  }
  it('are refused with the reason where nothing is computed, and nothing is known', () => {
    expect(refusal({})).toBeNull()
    expect(refusal({ function: 'dc-voltage', powered: true })).toBe('What a supplied board reads is not computed.')
    expect(refusal({ function: 'inductance' })).toBe('What a good board reads in inductance is not computed.')
    expect(refusal({ function: 'capacitance' })).toBe('No capacitor of this file lies straight across J1.1 and R4.2.')
    expect(refusal({}, { ...bare, parts: bare.parts.filter(({ ref }) => !['R4', 'D4', 'T1'].includes(ref)) })).toBe('No part of this file lies on net "A" of R4.2, so what a good board reads is not known.')
  })
  it('are refused where a good board may read anything from a short to open', () => {
    const loose = { ...bare, parts: bare.parts.map((part) => (part.ref === 'R4' ? { ...part, value: 5, tolerance: 1 } : part)) }
    const low = { ...genericDrives, resistance: { ...genericDrives.resistance, ceiling: 5.1 } }
    expect(computedLimits(loose, { drives: low }).r4).toEqual({ refused: 'A good board may read anything here, so no reading would tell it from a bad one.' })
    expect(computedLimits(loose).r4).toHaveProperty('limits')
  })
})

describe('typed limits that name the source they were made with', () => {
  const made = { volts: 3, ohms: 2500, amperes: 1e-3, plus: 'red' as const }
  const withSource = (ids: readonly string[], folder: Parameters<typeof sampleBoard>[0] = 'vent-driver-node', change: Partial<BoardType> = {}): BoardType => {
    const board = sampleBoard(folder)
    return { ...board, ...change, sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => (step.kind === 'measure' && ids.includes(step.id) ? { ...step, source: made } : step)) } }
  }
  const driving = (source: Record<string, unknown>): ReturnType<typeof drivesOfRegister> =>
    drivesOfRegister({ sources: ['diode', 'resistance'].map((what) => ({ function: what, range: null, volts: 3, ohms: 2500, amperes: 1e-3, plus: 'red', basis: 'entered', ...source })), ranges: [] } as never)
  const weak = driving({ volts: 1.5, ohms: 150_000, amperes: null })

  it('stand with a meter whose source lies within a tenth of it, and take nothing to compute', () => {
    const board = withSource(['d2-forward'])
    const typed = { limits: { between: [0.45, 0.75] }, madeWith: made }
    expect(computedLimits(board, { drives: driving({}) })).toEqual({ 'd2-forward': typed })
    expect(computedLimits(board, { drives: driving({ volts: 2.8, ohms: 2300 }) })).toEqual({ 'd2-forward': typed })
    expect(boardWithLimits(board, computedLimits(board, { drives: driving({}) })).sequence.steps.find(({ id }) => id === 'd2-forward')).toMatchObject({ limits: { between: [0.45, 0.75] } })
  })
  it.each([['vent-driver-node', 'd2-forward'], ['soil-relay', null], ['frost-sensor', null]] as const)('%s: with another meter they are computed again through a junction, and say so', (folder, named) => {
    const step = measured(sampleBoard(folder)).find(({ id, function: what, limits }) => (named === null ? what === 'diode' && typeof limits === 'object' && 'between' in limits : id === named))
    if (step === undefined) throw new Error('no such step')
    const board = withSource([step.id], folder)
    const own = computedLimits(board, { drives: weak })[step.id]
    if (own === undefined || !wereMade(own)) throw new Error(JSON.stringify(own))
    expect(own).toMatchObject({ instead: made, source: { volts: 1.5, ohms: 150_000, typical: false } })
    // They are those that a step without any has with this meter.
    const bare = computedLimits(withoutLimits(board), { drives: weak })[step.id]
    expect({ ...own, instead: null }).toEqual({ ...bare, instead: null })
    // Ten microamperes rather than one milliampere: a good board reads lower, and the typed limits would have let a worse part pass or failed a good one.
    const there = (drives: typeof weak): number => { const found = readsAcross(networkOf(board, []), netOf(board, step.red), netOf(board, step.black), step.function, drives); return found.ok ? Number(found.value) : NaN }
    expect(there(weak)).toBeLessThan(there(driving({})) - 0.1)
    expect(expectedInside(own.limits, there(weak), step.function)).toBe(true)
    expect(boardWithLimits(board, computedLimits(board, { drives: weak })).sequence.steps.find(({ id }) => id === step.id)).toMatchObject({ limits: own.limits })
  })
  it('stand where a good board reads alike with both: no junction is in the way of R4', () => {
    expect(computedLimits(withSource(['r4']), { drives: driving({ volts: 0.3, ohms: 30_000, amperes: null }) }).r4).toMatchObject({ madeWith: made })
  })
  it('are computed again where the plus lies on the other lead', () => {
    expect(computedLimits(withSource(['d2-reverse']), { drives: driving({ plus: 'black' }) })['d2-reverse']).not.toHaveProperty('madeWith')
  })
  it('are refused with the reason where the nets say nothing of the place, and are no fault of the file', () => {
    const board = withSource(['d2-forward'])
    const bare = { ...board, parts: board.parts.filter(({ pins }) => !Object.values(pins).includes(netOf(board, 'F1.2'))) }
    const typical = computedLimits(bare, { drives: weak })['d2-forward']
    expect(typical).toEqual({ refused: 'The limits in the board file were made with 3 V behind 2.5 kΩ, at most 1 mA, plus on red; this meter drives 1.5 V behind 150 kΩ, plus on red, and none can be computed for it: no part of this file lies on net "V24_F" of F1.2, so what a good board reads is not known.' })
    expect(boardWithLimits(bare, { 'd2-forward': typical as never }).sequence.steps.find(({ id }) => id === 'd2-forward')).toMatchObject({ limits: undefined })
    expect(computedLimits(bare, { drives: driving({}) })['d2-forward']).toMatchObject({ madeWith: made })
  })
  it('need limits beside the source, and a function that drives the tips; said of the field', () => {
    const checked = (change: Record<string, unknown>): unknown => {
      const json = sampleJson() as { sequence: { steps: Record<string, unknown>[] } }
      const found = checkBoard({ ...json, sequence: { ...json.sequence, steps: json.sequence.steps.map((step) => (step.id === 'd2-forward' ? { ...step, source: made, ...change } : step)) } }, 'board.json')
      return 'problems' in found ? found.problems.map(({ field, message }) => [field.replace(/\d+/, 'n'), message]) : 'sound'
    }
    expect(checked({})).toBe('sound')
    expect(checked({ source: { ...made, ohms: 100 } })).toBe('sound')
    expect(checked({ limits: undefined })).toEqual([['sequence.steps[n].source', 'belongs to limits that are written; without any they are computed for each meter: remove it, or write limits']])
    expect(checked({ function: 'capacitance', then: [] })).toContainEqual(['sequence.steps[n].source', 'has no meaning in capacitance, where the meter drives no direct current; remove it'])
  })
})
