/**
 * ngspice in batch mode on the solver's own element equations, for comparison. What had to be allowed for, and how:
 * - Below −3·n·V_T its diode follows a cubic; a behavioural source across each diode adds the difference to Shockley's law.
 *   Above −3 the source carries nothing: its two terms meet there. No branch is chosen by a condition: ngspice would work out both, and one overflows.
 * - A breakdown is a behavioural source, since its own diode has none at a test current, and so is a junction of less than 10⁻²⁷ A (`itsLeast`);
 *   above 7 times the current it is stated at it goes on straight.
 * - gmin is 10⁻¹⁷ S, RELTOL 10⁻⁶, VNTOL 10⁻⁷ V, ABSTOL 10⁻¹² A. Some points do not settle so tightly from nothing: those, and only those, are tried
 *   with wider ones, the leakage beside each diode written smaller by its gmin, and from there with tighter ones again. Nothing of the solver's is
 *   given to it to begin from, what is allowed between the two programs stays the same, and it is counted how tightly each settled in the end.
 * - Series resistances are resistors of their own with a node between: with the diode's RS, tolerances as tight do not settle.
 * - Its matrix adds up the conductances at a net: where 10 GΩ hangs on milliohms, 10⁻¹⁰ S beside 1000 S keep three digits of sixteen, and which are lost goes
 *   by the net that is ground. However tight the tolerances, such points come out some 10⁻⁴ off. What differs is asked again, "thorough", with resistances
 *   below 1 kΩ written by their current, U = R·I, the same law without 1/R in the sum. It is counted, and no point is left out.
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

/** `byCurrent` writes what is below it by its current, Ω. */
const lowOhms = 1000

/**
 * The elements as a netlist; `node` names a net's node. `itsOwn`: its diodes as they are, below −3·n·V_T as well. `gmin`: what ngspice puts across each
 * of its diodes, S; the leakage beside the diode is that much less, so that both together are the junction's own. `byCurrent`: low resistances as volts
 * by the current through them (a voltage source that has it measured, and one it controls), Ohm's law with nothing of 1/R added to its matrix.
 */
export const netlistOf = (elements: readonly Element[], node: (net: string) => string, { itsOwn = false, gmin = 0, byCurrent = false } = {}): string[] => elements.flatMap((element, at): string[] => {
  const resistance = (name: string, from: string, to: string, ohms: number): string[] => (byCurrent && ohms < lowOhms
    ? [`V${name} ${from} i${name} dc 0`, `H${name} i${name} ${to} V${name} ${ohms}`] : [`R${name} ${from} ${to} ${ohms}`])
  switch (element.kind) {
    case 'capacitance': return []
    case 'resistance': return resistance(`${at}`, node(element.from), node(element.to), element.ohms)
    case 'junction': {
      const [anode, end] = [node(element.anode), node(element.cathode)]
      const cathode = element.seriesOhms > 0 ? `k${at}` : end
      const diodes = [element.forward, element.reverse].filter((one) => one !== null && byVolts(one).atVolts === 0).length
      const leakage = element.leakageSiemens - gmin * diodes
      return [
        ...(element.seriesOhms > 0 ? resistance(`s${at}`, cathode, end, element.seriesOhms) : []),
        ...(leakage > 0 ? [`Rl${at} ${anode} ${cathode} ${1 / leakage}`] : []),
        ...(element.forward === null ? [] : exponential(element.forward, anode, cathode, `f${at}`, itsOwn)),
        ...(element.reverse === null ? [] : exponential(element.reverse, cathode, anode, `r${at}`, itsOwn)),
      ]
    }
  }
})

const options = (reltol: number, abstol: number, vntol: number, gmin: number): string =>
  `.options temp=25 tnom=25 reltol=${reltol} abstol=${abstol} vntol=${vntol} gmin=${gmin} itl1=200`
type Settings = { line: string; gmin: number; words: string }
const settingsOf = (reltol: number, abstol: number, vntol: number, gmin: number): Settings =>
  ({ line: options(reltol, abstol, vntol, gmin), gmin, words: `RELTOL ${reltol}, VNTOL ${vntol} V, gmin ${gmin} S` })
/** From the tightest; a point that does not settle is tried with the next. */
export const usedOptions: readonly Settings[] = [
  settingsOf(1e-6, 1e-12, 1e-7, 1e-17), settingsOf(1e-5, 1e-12, 1e-7, 1e-16), settingsOf(1e-5, 1e-12, 1e-7, 1e-14), settingsOf(1e-5, 1e-12, 1e-7, 1e-12),
  settingsOf(1e-3, 1e-12, 1e-6, 1e-12),
]

/** Runs a deck, `files` by name beside it; its standard output and what it took, s. @throws Error when ngspice does not end well. */
export const runNgspice = (deck: string, files: ReadonlyMap<string, string> = new Map()): { output: string; seconds: number } => {
  const folder = mkdtempSync(join(tmpdir(), 'ngspice-'))
  try {
    writeFileSync(join(folder, 'deck.cir'), deck)
    files.forEach((text, name) => writeFileSync(join(folder, name), text))
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

/** What ngspice may do where Newton's steps alone do not settle. Never its last resort, a transient: it costs seconds a point and settled none of the 13 it was tried at. */
type Help = 'none' | 'gmin and source stepping'
const helpLine: Record<Help, string> = { none: 'optran 1 0 0 0 0 0', 'gmin and source stepping': 'optran 1 1 1 0 0 0' }

/** `guess`: where it begins, nothing unless stated. */
type Asked = Point & { guess?: Nodes }

const namedNodes = (answer: string): Map<string, number> => new Map([...answer.matchAll(/^([xk]\d+) = (\S+)/gm)].map(([, name = '', value]) => [name, Number(value)]))
/** A node of its own: of a single one ngspice prints no name. */
const anotherNode = 'Rmore more 0 1'
const answersIn = (output: string, count: number): string[] => {
  const answers = output.split(/^point$/m).slice(1)
  if (answers.length !== count) throw new Error(`ngspice answered ${answers.length} of ${count} points.`)
  return answers
}

/** As `nodesWith`, from nothing, of one circuit read once: a source and a resistance for each pair of nets, altered from point to point. The first net is ground. */
const nodesAtOnce = (settings: Settings, elements: readonly Element[], nets: readonly string[], points: readonly Point[]): (Nodes | null)[] => {
  const node = (net: string): string => (nets[0] === net ? '0' : `x${nets.indexOf(net)}`)
  const used = new Set(points.map(({ plus, minus }) => `${plus} ${minus}`))
  const pairs = nets.flatMap((a, at) => nets.slice(at + 1).map((b, after) => ({ a, b, name: `${at}q${at + 1 + after}` }))).filter(({ a, b }) => used.has(`${a} ${b}`) || used.has(`${b} ${a}`))
  const named = new Map(pairs.flatMap(({ a, b, name }) => [[`${a} ${b}`, { name, sign: 1 }], [`${b} ${a}`, { name, sign: -1 }]]))
  const script = points.flatMap(({ plus, minus, amperes, ohms }) => {
    const pair = named.get(`${plus} ${minus}`)
    if (!pair) throw new Error(`${plus} and ${minus} are no pair of nets.`)
    // The current source of a pair runs from its second net through itself into the first.
    return [`alter ip${pair.name} dc = ${amperes * pair.sign}`, `alter rp${pair.name} = ${ohms ?? 1e30}`, 'op', 'echo point', 'print all', 'destroy all', `alter ip${pair.name} dc = 0`, `alter rp${pair.name} = 1e30`]
  })
  const { output } = runNgspice([
    'points', settings.line, anotherNode, ...netlistOf(elements, node, { gmin: settings.gmin }),
    ...pairs.flatMap(({ a, b, name }) => [`IP${name} ${node(b)} ${node(a)} dc 0`, `RP${name} ${node(a)} ${node(b)} 1e30`]),
    '.control', 'set numdgt=14', helpLine.none, ...script, 'quit', '.endc', '.end', '',
  ].join('\n'))
  return answersIn(output, points.length).map((answer, at) => {
    const nodes = namedNodes(answer).set('x0', 0)
    const black = nets.indexOf(points[at]?.minus ?? '')
    const zero = nodes.get(`x${black}`) ?? NaN
    const against = new Map([...nodes].flatMap(([name, volts]): [string, number][] => (name === `x${black}` ? [] : [[name, volts - zero]])))
    return nets.every((_, which) => which === black || Number.isFinite(against.get(`x${which}`))) ? against : null
  })
}

/** Every node at every point against its black tip, from one process, which reads a file a point; null where ngspice did not settle. */
const nodesWith = (settings: Settings, help: Help, elements: readonly Element[], nets: readonly string[], asked: readonly Asked[], byCurrent: boolean): (Nodes | null)[] => {
  // The black tip is ground: where 10 GΩ hangs on milliohms, its matrix loses up to a thousandth of the small current, more or less by which net that is.
  const nodeAt = (minus: string) => (net: string): string => (net === minus ? '0' : `x${nets.indexOf(net)}`)
  const files = new Map(asked.map(({ plus, minus, amperes, ohms, guess = new Map<string, number>() }, at) => {
    const node = nodeAt(minus)
    return [`${at}.cir`, [
      `point ${at}`, settings.line, anotherNode, ...[...guess].map(([name, volts]) => `.nodeset v(${name})=${volts}`), ...netlistOf(elements, node, { gmin: settings.gmin, byCurrent }),
      `I1 0 ${node(plus)} dc ${amperes}`, ...(ohms === null ? [] : [`Rbeside ${node(plus)} 0 ${ohms}`]), '.end', '',
    ].join('\n')]
  }))
  const script = [...files.keys()].flatMap((name) => [`source ${name}`, helpLine[help], 'op', 'echo point', 'print all', 'destroy all', 'remcirc'])
  const { output } = runNgspice(['points', 'R1 a 0 1', '.control', 'set numdgt=14', ...script, 'quit', '.endc', '.end', ''].join('\n'), files)
  return answersIn(output, asked.length).map((answer, at) => {
    const nodes = namedNodes(answer)
    const node = nodeAt(asked[at]?.minus ?? '')
    return nets.every((net) => node(net) === '0' || Number.isFinite(nodes.get(node(net)))) ? nodes : null
  })
}

/** `volts` of every net against the black tip; `settledWith`: the place in `usedOptions` of those that it settled with in the end. */
export type Answer = { volts: number[]; settledWith: number }
type Settled = { nodes: Nodes; settledWith: number }

const tightestFirst = usedOptions.map((_, tried) => tried)
const widestFirst = tightestFirst.toReversed()
const helped: Help = 'gmin and source stepping'

/**
 * Volts of every net at every point against its black tip, with the tightest options that settle there. From nothing with the tightest, by Newton's
 * steps alone; what does not settle so, with the widest, alone and then with help, which is where it is quick, and from where ngspice itself had got to
 * with ever tighter ones. Null where it settled with none. `thorough`: each with a file of its own, its black tip as ground, low resistances by their
 * current, and with help from there as well.
 */
export const ngspiceVolts = (elements: readonly Element[], nets: readonly string[], points: readonly Point[], thorough = false): (Answer | null)[] => {
  const found: (Settled | null)[] = points.map(() => null)
  /** Of those that `wanted` wants: keeps what settles. */
  const ask = (help: Help, tried: number, wanted: (settled: Settled | null) => boolean): void => {
    const open = points.flatMap((point, at) => (wanted(found[at] ?? null) ? [{ point, at }] : []))
    if (open.length === 0) return
    const asked = open.map(({ point, at }): Asked => ({ ...point, ...(found[at] ? { guess: found[at].nodes } : {}) }))
    nodesWith(usedOptions[tried] as Settings, help, elements, nets, asked, thorough).forEach((nodes, which) => {
      if (nodes !== null) found[open[which]?.at ?? -1] = { nodes, settledWith: tried }
    })
  }
  if (thorough) ask('none', 0, () => true)
  else nodesAtOnce(usedOptions[0] as Settings, elements, nets, points).forEach((nodes, at) => { if (nodes !== null) found[at] = { nodes, settledWith: 0 } })
  for (const help of ['none', helped] as const) for (const tried of widestFirst) ask(help, tried, (settled) => settled === null)
  for (const help of thorough ? ['none', helped] as const : ['none'] as const) {
    for (const tried of tightestFirst) ask(help, tried, (settled) => settled !== null && settled.settledWith > tried)
  }
  return found.map((settled, at) => (settled === null ? null : {
    settledWith: settled.settledWith,
    volts: nets.map((net, which) => (net === points[at]?.minus ? 0 : settled.nodes.get(`x${which}`) ?? NaN)),
  }))
}
