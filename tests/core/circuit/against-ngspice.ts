/** 500 drawn circuits, every placement both ways, by this solver and by ngspice on the same equations. */
import { compile } from '../../../src-core/circuit/circuit'
import type { Network } from '../../../src-core/circuit/elements'
import { genericDrives } from '../../../src-core/circuit/meter-drive'
import { networkOf } from '../../../src-core/circuit/network'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { type Solution, solveNetwork } from '../../../src-core/circuit/solve'
import { type Answer, ngspiceVolts, type Point, usedOptions } from '../../bench-tools/ngspice'
import { everyKind, randomBoard, randomFaultsAndBridges } from '../../bench-tools/random-boards'

export const drawnSeeds = Array.from({ length: 500 }, (_, at) => at)

/** 3 to 40 parts of every kind there is, with 0 to 5 faults, each number equally often. */
export const drawnCircuit = (seed: number): Network => {
  const random = seededRandom(seed)
  const board = randomBoard(3 + Math.floor(38 * random()), random, everyKind)
  return networkOf(board, randomFaultsAndBridges(board, Math.floor(6 * random()), random))
}

/** The drives of a resistance function and a diode test. */
const pointsAt = (plus: string, minus: string): Point[] => {
  const [resistance] = genericDrives.resistance.ranges
  const [diode] = genericDrives.diode.ranges
  if (!resistance || !diode) throw new Error('The generic meter has no range.')
  return [
    { plus, minus, amperes: resistance.volts / resistance.ohms, ohms: resistance.ohms },
    { plus, minus, amperes: diode.volts / diode.ohms, ohms: diode.ohms },
  ]
}

/**
 * `worst` of all nets at all points, in units of what is allowed; `settledWith`: points by the options ngspice settled with in the end, tightest first;
 * `refused`: with none of them, or by the solver (each is in `words` too); `again`: asked once more, thoroughly, and `agreed`, how many of those agreed then
 * (the others are in `words`); `apart`: placements between nets that nothing joins, where ngspice has no say.
 */
export type Compared = { points: number; worst: number; settledWith: number[]; refused: number; again: number; agreed: number; apart: number; words: string[] }
export const nothingCompared = (): Compared => ({ points: 0, worst: 0, settledWith: usedOptions.map(() => 0), refused: 0, again: 0, agreed: 0, apart: 0, words: [] })

/** Both together, `more` into `sum`. */
export const addCompared = (sum: Compared, more: Compared): void => {
  for (const key of ['points', 'refused', 'again', 'agreed', 'apart'] as const) sum[key] += more[key]
  if (!(more.worst <= sum.worst)) sum.worst = more.worst
  more.settledWith.forEach((count, at) => { sum.settledWith[at] = (sum.settledWith[at] ?? 0) + count })
  sum.words.push(...more.words)
}

/** For the log of a long check. */
export const comparedInWords = ({ points, worst, settledWith, refused, again, agreed, apart }: Compared): string => [
  `${points} points, the worst at ${worst.toPrecision(3)} of what is allowed (0.1 mV or 10⁻⁴)`,
  ...settledWith.map((count, at) => `  ${count} settled in ngspice with ${usedOptions[at]?.words ?? ''}`),
  `  ${refused} settled in one program only`,
  `  ${again} asked once more, resistances below 1 kΩ by their current: ${agreed} agreed then`,
  `  ${apart} placements besides lie between nets that nothing joins`,
].join('\n')

/** Of all nets, in units of what is allowed; in words where it is more. */
const differences = (ours: ReadonlyMap<string, number | null>, nets: readonly string[], theirs: readonly number[]): { worst: number; words: string[] } => {
  let worst = 0
  const words: string[] = []
  nets.forEach((net, which) => {
    const [here, there] = [ours.get(net) ?? Number.NaN, theirs[which] ?? Number.NaN]
    const off = Math.abs(here - there) / Math.max(1e-4, 1e-4 * Math.abs(there))
    if (!(off <= worst)) worst = off
    if (!(off <= 1)) words.push(`${net} ${here} V here, ${there} V in ngspice`)
  })
  return { worst, words }
}

/** The solver's volts for a source, or why it has none. */
export type Solving = (network: Network, point: Point) => Solution
export const bySolver: Solving = (network, { plus, minus, amperes, ohms }) =>
  solveNetwork(network, [{ kind: 'thevenin', plus, minus, volts: amperes * (ohms ?? 0), ohms: ohms ?? 0 }], minus)

/**
 * A point that disagrees, or did not settle, is asked of ngspice once more, thoroughly. At most so many points a component, drawn by the seed. Placements
 * between nets that nothing joins carry no current; ngspice has no say there (a floating net is an error to it). `solve`: what is compared with it.
 */
export const compared = (network: Network, seed: number, mostPoints = Infinity, solve = bySolver): Compared => {
  const random = seededRandom(seed)
  const circuit = compile(network)
  const found = nothingCompared()
  found.apart = circuit.nets.length * (circuit.nets.length - 1) - circuit.components.reduce((sum, { size }) => sum + size * (size - 1), 0)
  for (const component of circuit.components) {
    const nets = [...component.nets].map((net) => circuit.nets[net] ?? '')
    if (nets.length < 2) continue
    const own = network.elements.filter((element) => nets.includes(element.kind === 'junction' ? element.anode : element.from))
    const points = nets.flatMap((plus) => nets.filter((minus) => minus !== plus).flatMap((minus) => pointsAt(plus, minus)))
      .map((point) => ({ point, drawn: random() })).sort((a, b) => a.drawn - b.drawn).slice(0, mostPoints).map(({ point }) => point)
    ngspiceVolts(own, nets, points).forEach((atOnce, at) => {
      const point = points[at] as Point
      const where = `${point.plus} to ${point.minus}, ${point.amperes} A beside ${point.ohms} Ω`
      found.points += 1
      const ours = solve(network, point)
      const told = (theirs: Answer | null): { worst: number; words: string[] } | null => (ours.ok && theirs !== null ? differences(ours.volts, nets, theirs.volts) : null)
      const first = told(atOnce)
      const asksAgain = ours.ok && !(first !== null && first.worst <= 1)
      const [again = null] = asksAgain ? ngspiceVolts(own, nets, [point], true) : []
      const theirs = again ?? atOnce
      const last = again === null ? first : told(again)
      if (asksAgain) found.again += 1
      if (theirs !== null) found.settledWith[theirs.settledWith] = (found.settledWith[theirs.settledWith] ?? 0) + 1
      if (last === null) {
        found.refused += 1
        found.words.push(`${where}: ${ours.ok ? 'ngspice did not settle' : ours.because}`)
        return
      }
      if (again !== null && last.worst <= 1) found.agreed += 1
      if (!(last.worst <= found.worst)) found.worst = last.worst
      found.words.push(...last.words.map((one) => `${where}: ${one}`))
    })
  }
  return found
}
