/**
 * ngspice in batch mode on the solver's own element equations, for comparison. What had to be allowed for, and how:
 * - Below −3·n·V_T its diode follows a cubic; a behavioural source across each diode adds the difference to Shockley's law.
 *   Above −3 the source carries nothing: its two terms meet there. No branch is chosen by a condition: ngspice would work out both, and one overflows.
 * - A breakdown is a behavioural source, since its own diode has none at a test current, and so is a junction of less than 10⁻²⁷ A (`itsLeast`);
 *   above 7 times the current it is stated at it goes on straight.
 * - gmin is 10⁻¹⁷ S, RELTOL 10⁻⁶, VNTOL 10⁻⁷ V, ABSTOL 10⁻¹² A. Some points do not settle so tightly: those, and only those, are tried again with
 *   wider ones, the leakage beside each diode written smaller by its gmin; what is allowed between the two programs stays the same.
 * - Series resistances are resistors of their own with a node between: with the diode's RS, tolerances as tight do not settle.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Element, Exponential } from '../../src-core/circuit/elements'

export const ngspiceIsHere = (): boolean => spawnSync('ngspice', ['--version'], { encoding: 'utf8' }).status === 0

/** Its constants (CODATA 2014) at 25 °C: k·T/q, V. */
const itsThermalVolts = 1.38064852e-23 * 298.15 / 1.6021766208e-19

/** Its diode takes no smaller saturation current than 10⁻²⁸ A, and says nothing of it. */
const itsLeast = 1e-27
/** The same law by the volts at 1 mA, where its diode would not have it. */
const byVolts = (law: Exponential): Exponential => (law.atVolts === 0 && law.amperes < itsLeast
  ? { amperes: 1e-3, atVolts: law.slopeVolts * Math.log(1e-3 / law.amperes), slopeVolts: law.slopeVolts } : law)

const exponential = (law: Exponential, anode: string, cathode: string, name: string, itsOwn: boolean): string[] => {
  const { amperes, atVolts, slopeVolts } = byVolts(law)
  const u = `((v(${anode},${cathode})-${atVolts})/${slopeVolts})`
  if (atVolts !== 0) return [`B${name} ${anode} ${cathode} I = {${amperes}*(exp(min(${u},2))*(1+max(${u}-2,0)) - ${Math.exp(-atVolts / slopeVolts)})}`]
  const below = `min(${u},-3)`
  return [
    `.model m${name} d(is=${amperes} n=${slopeVolts / itsThermalVolts})`, `D${name} ${anode} ${cathode} m${name}`,
    ...(itsOwn ? [] : [`B${name} ${anode} ${cathode} I = {${amperes}*(exp(${below}) + ${(3 / Math.E) ** 3}/(${below}*${below}*${below}))}`]),
  ]
}

/**
 * The elements as a netlist; `node` names a net's node. `itsOwn`: its diodes as they are, below −3·n·V_T as well. `gmin`: what ngspice puts across each
 * of its diodes, S; the leakage beside the diode is that much less, so that both together are the junction's own.
 */
export const netlistOf = (elements: readonly Element[], node: (net: string) => string, itsOwn = false, gmin = 0): string[] => elements.flatMap((element, at): string[] => {
  switch (element.kind) {
    case 'capacitance': return []
    case 'resistance': return [`R${at} ${node(element.from)} ${node(element.to)} ${element.ohms}`]
    case 'junction': {
      const [anode, end] = [node(element.anode), node(element.cathode)]
      const cathode = element.seriesOhms > 0 ? `k${at}` : end
      const diodes = [element.forward, element.reverse].filter((one) => one !== null && byVolts(one).atVolts === 0).length
      const leakage = element.leakageSiemens - gmin * diodes
      return [
        ...(element.seriesOhms > 0 ? [`Rs${at} ${cathode} ${end} ${element.seriesOhms}`] : []),
        ...(leakage > 0 ? [`Rl${at} ${anode} ${cathode} ${1 / leakage}`] : []),
        ...(element.forward === null ? [] : exponential(element.forward, anode, cathode, `f${at}`, itsOwn)),
        ...(element.reverse === null ? [] : exponential(element.reverse, cathode, anode, `r${at}`, itsOwn)),
      ]
    }
  }
})

const options = (reltol: number, abstol: number, vntol: number, gmin: number): string =>
  `.options temp=25 tnom=25 reltol=${reltol} abstol=${abstol} vntol=${vntol} gmin=${gmin} itl1=100`
type Settings = { line: string; gmin: number }
const settingsOf = (reltol: number, abstol: number, vntol: number, gmin: number): Settings => ({ line: options(reltol, abstol, vntol, gmin), gmin })
/** From the tightest; a point that does not settle is tried with the next. */
const usedOptions = [
  settingsOf(1e-6, 1e-12, 1e-7, 1e-17), settingsOf(1e-5, 1e-12, 1e-7, 1e-16), settingsOf(1e-5, 1e-12, 1e-7, 1e-14), settingsOf(1e-5, 1e-12, 1e-7, 1e-12),
  settingsOf(1e-3, 1e-12, 1e-6, 1e-12),
]

/** Runs a deck; its standard output and what it took, s. @throws Error when ngspice does not end well. */
export const runNgspice = (deck: string): { output: string; seconds: number } => {
  const folder = mkdtempSync(join(tmpdir(), 'ngspice-'))
  try {
    writeFileSync(join(folder, 'deck.cir'), deck)
    const from = performance.now()
    const ran = spawnSync('ngspice', ['-b', 'deck.cir'], { cwd: folder, encoding: 'utf8', maxBuffer: 1 << 30 })
    const seconds = (performance.now() - from) / 1000
    if (ran.error) throw ran.error
    if (!/ngspice-\d+ done/.test(ran.stdout)) throw new Error(`ngspice did not end well: ${ran.stderr.slice(-2000)}`)
    return { output: ran.stdout, seconds }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Current out of `minus` into `plus`, with ohms beside it (null: none). */
export type Point = { plus: string; minus: string; amperes: number; ohms: number | null }

/** Every node of one point as ngspice left it. */
type Nodes = ReadonlyMap<string, number>

const nodeOf = (nets: readonly string[], net: string): string => (nets[0] === net ? '0' : `x${nets.indexOf(net)}`)

/** Every node at every point against the first net, from one process, begun from `guess`; null where ngspice did not settle. */
const nodesWith = (settings: Settings, elements: readonly Element[], nets: readonly string[], points: readonly Point[], guess: Nodes = new Map()): (Nodes | null)[] => {
  const node = (net: string): string => nodeOf(nets, net)
  const used = new Set(points.flatMap(({ plus, minus }) => [`${plus} ${minus}`, `${minus} ${plus}`]))
  const pairs = nets.flatMap((a, at) => nets.slice(at + 1).map((b, after) => ({ a, b, name: `${at}q${at + 1 + after}` }))).filter(({ a, b }) => used.has(`${a} ${b}`))
  const named = new Map(pairs.flatMap(({ a, b, name }) => [[`${a} ${b}`, { name, sign: 1 }], [`${b} ${a}`, { name, sign: -1 }]]))
  const script = points.flatMap(({ plus, minus, amperes, ohms }) => {
    const pair = named.get(`${plus} ${minus}`)
    if (!pair) throw new Error(`${plus} and ${minus} are no pair of nets.`)
    // The current source of a pair runs from its second net through itself into the first.
    return [
      `alter ip${pair.name} dc = ${amperes * pair.sign}`, ...(ohms === null ? [] : [`alter rp${pair.name} = ${ohms}`]),
      'op', 'echo point', 'print all', 'destroy all',
      `alter ip${pair.name} dc = 0`, ...(ohms === null ? [] : [`alter rp${pair.name} = 1e30`]),
    ]
  })
  const { output } = runNgspice([
    'points', settings.line, ...[...guess].map(([name, volts]) => `.nodeset v(${name})=${volts}`), ...netlistOf(elements, node, false, settings.gmin),
    ...pairs.flatMap(({ a, b, name }) => [`IP${name} ${node(b)} ${node(a)} dc 0`, `RP${name} ${node(a)} ${node(b)} 1e30`]),
    '.control', 'set numdgt=14', ...script, 'quit', '.endc', '.end', '',
  ].join('\n'))
  const answers = output.split(/^point$/m).slice(1)
  if (answers.length !== points.length) throw new Error(`ngspice answered ${answers.length} of ${points.length} points.`)
  return answers.map((answer) => {
    const nodes = new Map([...answer.matchAll(/^([xk]\d+) = (\S+)/gm)].map(([, name = '', value]) => [name, Number(value)]))
    return nets.slice(1).every((net) => Number.isFinite(nodes.get(node(net)))) ? nodes : null
  })
}

/**
 * Volts of every net at every point against the first net, with the tightest options that settle at each point: from nothing, and, where that takes
 * wider ones, once more with tighter ones from where ngspice itself had got to. Null where it settled with none.
 */
export const ngspiceVolts = (elements: readonly Element[], nets: readonly string[], points: readonly Point[]): (number[] | null)[] => {
  const found: (Nodes | null)[] = points.map(() => null)
  usedOptions.forEach((settings, tried) => {
    const open = found.flatMap((nodes, at) => (nodes === null ? [at] : []))
    if (open.length === 0) return
    nodesWith(settings, elements, nets, open.map((at) => points[at] as Point)).forEach((nodes, which) => {
      const at = open[which] as number
      found[at] = nodes === null || tried === 0 ? nodes : tightened(nodes, tried, elements, nets, points[at] as Point)
    })
  })
  return found.map((nodes) => (nodes === null ? null : nets.map((net, at) => (at === 0 ? 0 : nodes.get(nodeOf(nets, net)) ?? NaN))))
}

/** From a point settled with one set of options, with the tightest of all that settle from there. */
const tightened = (nodes: Nodes, settledWith: number, elements: readonly Element[], nets: readonly string[], point: Point): Nodes => {
  for (const settings of usedOptions.slice(0, settledWith)) {
    const [again] = nodesWith(settings, elements, nets, [point], nodes)
    if (again) return again
  }
  return nodes
}
