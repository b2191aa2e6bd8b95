/**
 * ngspice in batch mode on the solver's own element equations, for comparison. What had to be allowed for, and how:
 * - Below −3·n·V_T its diode follows a cubic; a behavioural source across each diode adds the difference to Shockley's law.
 * - A breakdown is a behavioural source, since its own diode has none at a test current; above 7 times that current it goes on straight.
 * - gmin is 10⁻¹⁸ S, so that it does not show beside megohms; RELTOL is 10⁻⁷, VNTOL 10⁻¹⁰ V, ABSTOL 10⁻¹⁵ A. Some points do not settle so
 *   tightly: those, and only those, are tried again with wider ones; what is allowed between the two programs stays the same.
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

const exponential = ({ amperes, atVolts, slopeVolts }: Exponential, anode: string, cathode: string, name: string, itsOwn: boolean): string[] => {
  const u = `((v(${anode},${cathode})-${atVolts})/${slopeVolts})`
  if (atVolts !== 0) return [`B${name} ${anode} ${cathode} I = {${amperes}*((${u} < 2 ? exp(${u}) : exp(2)*(${u}-1)) - ${Math.exp(-atVolts / slopeVolts)})}`]
  return [
    `.model m${name} d(is=${amperes} n=${slopeVolts / itsThermalVolts})`, `D${name} ${anode} ${cathode} m${name}`,
    ...(itsOwn ? [] : [`B${name} ${anode} ${cathode} I = {${u} < -3 ? ${amperes}*(exp(${u}) + ${(3 / Math.E) ** 3}/(${u}*${u}*${u})) : 0}`]),
  ]
}

/** The elements as a netlist; `node` names a net's node. `itsOwn`: its diodes as they are, below −3·n·V_T as well. */
export const netlistOf = (elements: readonly Element[], node: (net: string) => string, itsOwn = false): string[] => elements.flatMap((element, at): string[] => {
  switch (element.kind) {
    case 'capacitance': return []
    case 'resistance': return [`R${at} ${node(element.from)} ${node(element.to)} ${element.ohms}`]
    case 'junction': {
      const [anode, end] = [node(element.anode), node(element.cathode)]
      const cathode = element.seriesOhms > 0 ? `k${at}` : end
      return [
        ...(element.seriesOhms > 0 ? [`Rs${at} ${cathode} ${end} ${element.seriesOhms}`] : []),
        ...(element.leakageSiemens > 0 ? [`Rl${at} ${anode} ${cathode} ${1 / element.leakageSiemens}`] : []),
        ...(element.forward === null ? [] : exponential(element.forward, anode, cathode, `f${at}`, itsOwn)),
        ...(element.reverse === null ? [] : exponential(element.reverse, cathode, anode, `r${at}`, itsOwn)),
      ]
    }
  }
})

const options = (reltol: number, abstol: number, vntol: number, gmin: number): string =>
  `.options temp=25 tnom=25 reltol=${reltol} abstol=${abstol} vntol=${vntol} gmin=${gmin} itl1=1000`
/** From the tightest; a point that does not settle is tried with the next. The last are its usual ones but for gmin. */
const usedOptions = [options(1e-7, 1e-15, 1e-10, 1e-18), options(1e-6, 1e-14, 1e-8, 1e-17), options(1e-5, 1e-13, 1e-7, 1e-16), options(1e-3, 1e-12, 1e-6, 1e-15)]

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

/** Volts of every net at every point against the first net, from one process; null where ngspice did not settle. */
const voltsWith = (settings: string, elements: readonly Element[], nets: readonly string[], points: readonly Point[]): (number[] | null)[] => {
  const node = (net: string): string => (nets[0] === net ? '0' : `x${nets.indexOf(net)}`)
  const pairs = nets.flatMap((a, at) => nets.slice(at + 1).map((b, after) => ({ a, b, name: `${at}q${at + 1 + after}` })))
  const named = new Map(pairs.flatMap(({ a, b, name }) => [[`${a} ${b}`, { name, sign: 1 }], [`${b} ${a}`, { name, sign: -1 }]]))
  const script = points.flatMap(({ plus, minus, amperes, ohms }) => {
    const pair = named.get(`${plus} ${minus}`)
    if (!pair) throw new Error(`${plus} and ${minus} are no pair of nets.`)
    // The current source of a pair runs from its second net through itself into the first.
    return [
      `alter ip${pair.name} dc = ${amperes * pair.sign}`, ...(ohms === null ? [] : [`alter rp${pair.name} = ${ohms}`]),
      'op', 'echo point', `print ${nets.slice(1).map((net) => `v(${node(net)})`).join(' ')}`, 'destroy all',
      `alter ip${pair.name} dc = 0`, ...(ohms === null ? [] : [`alter rp${pair.name} = 1e30`]),
    ]
  })
  const { output } = runNgspice([
    'points', settings, ...netlistOf(elements, node),
    ...pairs.flatMap(({ a, b, name }) => [`IP${name} ${node(b)} ${node(a)} dc 0`, `RP${name} ${node(a)} ${node(b)} 1e30`]),
    '.control', 'set numdgt=14', ...script, 'quit', '.endc', '.end', '',
  ].join('\n'))
  const answers = output.split(/^point$/m).slice(1)
  if (answers.length !== points.length) throw new Error(`ngspice answered ${answers.length} of ${points.length} points.`)
  return answers.map((answer) => {
    const volts = [0]
    for (const [, at, value] of answer.matchAll(/^v\(x(\d+)\) = (\S+)/gm)) volts[Number(at)] = Number(value)
    return volts.length === nets.length && volts.every(Number.isFinite) ? volts : null
  })
}

/** As `voltsWith`, with the tightest options that settle at each point. */
export const ngspiceVolts = (elements: readonly Element[], nets: readonly string[], points: readonly Point[]): (number[] | null)[] => {
  const found: (number[] | null)[] = points.map(() => null)
  for (const settings of usedOptions) {
    const open = found.flatMap((volts, at) => (volts === null ? [at] : []))
    if (open.length === 0) break
    voltsWith(settings, elements, nets, open.map((at) => points[at] as Point)).forEach((volts, which) => { found[open[which] as number] = volts })
  }
  return found
}
