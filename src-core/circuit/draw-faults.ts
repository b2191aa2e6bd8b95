/** The hidden fault of a practice board, drawn from a seed as a surge would choose it. */
import type { BoardType, Part } from '../board/board-type'
import { failedSteps } from './failed-steps'
import { type Fault, parseFault } from './faults'
import type { Random } from './seeded-random'

type Chance = { weight: number; fault: (random: Random) => string }

const between = (low: number, high: number, random: Random): number => low * Math.pow(high / low, random())
const three = (value: number): string => String(Number(value.toPrecision(3)))

const open: Chance['fault'] = () => 'open'
/** 0.05 Ω to 5 Ω, and leaks of 50 Ω to 50 kΩ, both log-uniform: the drawn faults of circuit.md. */
const short: Chance['fault'] = (random) => `short=${three(between(0.05, 5, random))}`
const leaky: Chance['fault'] = (random) => `leaky=${three(between(50, 50_000, random))}`
const drifted: Chance['fault'] = (random) => `drifted=${three(between(1.5, 10, random) ** (random() < 0.8 ? 1 : -1))}`
const reversed: Chance['fault'] = () => 'reversed'

/** Odds after a surge. Common practice, no source. */
const chances: Record<Part['kind'], Chance[]> = {
  resistor: [{ weight: 5, fault: open }, { weight: 2, fault: drifted }],
  fuse: [{ weight: 4, fault: open }],
  coil: [{ weight: 2, fault: open }, { weight: 1, fault: short }],
  choke: [{ weight: 2, fault: open }, { weight: 1, fault: short }],
  capacitor: [{ weight: 1, fault: short }, { weight: 1, fault: leaky }],
  diode: [{ weight: 6, fault: short }, { weight: 2, fault: open }, { weight: 2, fault: leaky }, { weight: 0.2, fault: reversed }],
  zener: [{ weight: 5, fault: short }, { weight: 1, fault: open }, { weight: 1, fault: leaky }],
  'two-way-protector': [{ weight: 6, fault: short }, { weight: 1, fault: leaky }],
  ic: [{ weight: 3, fault: short }, { weight: 3, fault: leaky }],
  contact: [{ weight: 2, fault: short }],
  connector: [],
}

const mostTries = 200

/**
 * One fault, with the odds of a surge, that at least one measure step of the sequence would fail. `random` gives numbers in [0, 1).
 * Empty only where no part of the board can be given a fault that its sequence shows.
 */
export const drawFaults = (board: BoardType, random: Random): Fault[] => {
  const all = board.parts.flatMap((part) => chances[part.kind].map((chance) => ({ part, ...chance })))
  const total = all.reduce((sum, { weight }) => sum + weight, 0)
  for (let tried = 0; tried < mostTries; tried += 1) {
    let at = random() * total
    const chosen = all.find(({ weight }) => { at -= weight; return at < 0 })
    if (!chosen) continue
    const inputs = chosen.part.kind !== 'ic' ? []
      : Object.keys(chosen.part.pins).filter((pin) => 'fault' in parseFault(board, `${chosen.part.ref}.${pin}:open`))
    const input = inputs[Math.floor(random() * inputs.length)]
    const parsed = parseFault(board, `${chosen.part.ref}${input === undefined ? '' : `.${input}`}:${chosen.fault(random)}`)
    if ('fault' in parsed && failedSteps(board, [parsed.fault]).length > 0) return [parsed.fault]
  }
  return []
}
