/** 500 drawn circuits, every placement both ways, by this solver and by ngspice on the same equations. */
import { compile } from '../../../src-core/circuit/circuit'
import type { Network } from '../../../src-core/circuit/elements'
import { genericDrives } from '../../../src-core/circuit/meter-drive'
import { networkOf } from '../../../src-core/circuit/network'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { solveNetwork } from '../../../src-core/circuit/solve'
import { ngspiceVolts, type Point } from '../../bench-tools/ngspice'
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

export type Compared = { points: number; /** Of all nets at all points, in units of what is allowed. */ worst: number; words: string[] }

/** Of all nets, in units of what is allowed; in words where it is more. */
const differences = (ours: ReadonlyMap<string, number | null>, nets: readonly string[], theirs: readonly number[], minus: string): { worst: number; words: string[] } => {
  const zero = theirs[nets.indexOf(minus)] ?? 0
  let worst = 0
  const words: string[] = []
  nets.forEach((net, which) => {
    const [here, there] = [ours.get(net) ?? Number.NaN, (theirs[which] ?? Number.NaN) - zero]
    const off = Math.abs(here - there) / Math.max(1e-4, 1e-4 * Math.abs(there))
    if (!(off <= worst)) worst = off
    if (!(off <= 1)) words.push(`${net} ${here} V here, ${there} V in ngspice`)
  })
  return { worst, words }
}

/**
 * A point that disagrees is asked of ngspice once more with the black tip as its ground: where 10 GΩ hangs on milliohms, its matrix loses up to a
 * thousandth of the small current, more or less by which net is ground. At most so many points a component, drawn by the seed. Placements between
 * nets that nothing joins carry no current; ngspice has no say there (a floating net is an error to it).
 */
export const compared = (network: Network, seed: number, mostPoints = Infinity): Compared => {
  const random = seededRandom(seed)
  const circuit = compile(network)
  const found: Compared = { points: 0, worst: 0, words: [] }
  for (const component of circuit.components) {
    const nets = [...component.nets].map((net) => circuit.nets[net] ?? '')
    if (nets.length < 2) continue
    const own = network.elements.filter((element) => nets.includes(element.kind === 'junction' ? element.anode : element.from))
    const points = nets.flatMap((plus) => nets.filter((minus) => minus !== plus).flatMap((minus) => pointsAt(plus, minus)))
      .map((point) => ({ point, drawn: random() })).sort((a, b) => a.drawn - b.drawn).slice(0, mostPoints).map(({ point }) => point)
    const solution = ({ plus, minus, amperes, ohms }: Point): ReturnType<typeof solveNetwork> =>
      solveNetwork(network, [{ kind: 'thevenin', plus, minus, volts: amperes * (ohms ?? 0), ohms: ohms ?? 0 }], minus)
    ngspiceVolts(own, nets, points).forEach((theirs, at) => {
      const point = points[at] as Point
      const where = `${point.plus} to ${point.minus}, ${point.amperes} A beside ${point.ohms} Ω`
      found.points += 1
      const ours = solution(point)
      if (!ours.ok || theirs === null) {
        found.words.push(`${where}: ${ours.ok ? 'ngspice did not settle' : ours.because}`)
        return
      }
      const first = differences(ours.volts, nets, theirs, point.minus)
      const grounded = [point.minus, ...nets.filter((net) => net !== point.minus)]
      const [again] = first.worst <= 1 ? [] : ngspiceVolts(own, grounded, [point])
      const { worst, words } = again ? differences(ours.volts, grounded, again, point.minus) : first
      if (!(worst <= found.worst)) found.worst = worst
      found.words.push(...words.map((one) => `${where}: ${one}`))
    })
  }
  return found
}
