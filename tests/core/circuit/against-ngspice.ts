/** 500 drawn circuits, every placement both ways, by this solver and by ngspice on the same equations. */
import { compile } from '../../../src-core/circuit/circuit'
import type { Network } from '../../../src-core/circuit/elements'
import { genericDrives } from '../../../src-core/circuit/meter-drive'
import { networkOf } from '../../../src-core/circuit/network'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { solveNetwork } from '../../../src-core/circuit/solve'
import { ngspiceVolts, type Point } from '../../bench-tools/ngspice'
import { randomBoard, randomFaults } from '../../bench-tools/random-boards'

export const drawnSeeds = Array.from({ length: 500 }, (_, at) => at)

/** 3 to 40 parts with 0 to 5 faults, each number equally often. */
export const drawnCircuit = (seed: number): Network => {
  const random = seededRandom(seed)
  const board = randomBoard(3 + Math.floor(38 * random()), random)
  return networkOf(board, randomFaults(board, Math.floor(6 * random()), random))
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

/**
 * At most so many points a component, drawn by the seed. Placements between nets that nothing joins carry no current; ngspice has no
 * say there (a floating net is an error to it).
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
    ngspiceVolts(own, nets, points).forEach((theirs, at) => {
      const point = points[at] as Point
      const where = `${point.plus} to ${point.minus}, ${point.amperes} A beside ${point.ohms} Ω`
      found.points += 1
      const ours = solveNetwork(network, [{ kind: 'thevenin', plus: point.plus, minus: point.minus, volts: point.amperes * (point.ohms ?? 0), ohms: point.ohms ?? 0 }], point.minus)
      if (!ours.ok || theirs === null) {
        found.words.push(`${where}: ${ours.ok ? 'ngspice did not settle' : ours.because}`)
        return
      }
      const zero = theirs[nets.indexOf(point.minus)] ?? 0
      nets.forEach((net, which) => {
        const [here, there] = [ours.volts.get(net) ?? Number.NaN, (theirs[which] ?? Number.NaN) - zero]
        const off = Math.abs(here - there) / Math.max(1e-4, 1e-4 * Math.abs(there))
        if (!(off <= found.worst)) found.worst = off
        if (!(off <= 1)) found.words.push(`${where}: ${net} ${here} V here, ${there} V in ngspice`)
      })
    })
  }
  return found
}
