/** A junction over temperature against ngspice, whose diode has the same law; without ngspice on the machine this is skipped. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { type Barrier, schottkyBarrier, shockley } from '../../src-core/circuit/junction-law'
import { bodyDiode, type JunctionFigures, rectifierDiode, schottkyDiode, signalDiode } from '../../src-core/circuit/part-parameters'
import { solveNetwork } from '../../src-core/circuit/solve'

const celsius = [-10, 25, 40, 70]
const amperes = [1e-5, 1e-3]
const present = spawnSync('ngspice', ['--version']).error === undefined

const inSpice = ({ saturationAmperes, ideality, seriesOhms }: JunctionFigures, { gapVolts, power }: Barrier): number[] => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-spice-'))
  try {
    const file = join(folder, 'junction.cir')
    writeFileSync(file, ['junction over temperature', '.options tnom=25 gmin=1e-15', ...amperes.flatMap((current, at) => [`I${at} 0 a${at} ${current}`, `D${at} a${at} 0 DX`]),
      `.model DX D(IS=${saturationAmperes} N=${ideality} RS=${seriesOhms} EG=${gapVolts} XTI=${power})`, '.control', 'set numdgt=9',
      ...celsius.flatMap((temperature) => [`set temp=${temperature}`, 'op', ...amperes.map((_, at) => `print v(a${at})`)]), 'quit', '.endc', '.end'].join('\n'))
    const { stdout } = spawnSync('ngspice', ['-b', file], { encoding: 'utf8', timeout: 25_000 })
    return [...stdout.matchAll(/^v\(a\d\) = (\S+)/gm)].map(([, volts]) => Number(volts))
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

const here = ({ saturationAmperes, ideality, seriesOhms }: JunctionFigures, barrier: Barrier): number[] => celsius.flatMap((temperature) => amperes.map((current) => {
  const solved = solveNetwork({ elements: [{ kind: 'junction', part: 'D', anode: 'a', cathode: 'k', reverse: null, seriesOhms, leakageSiemens: 1e-15,
    forward: shockley(saturationAmperes, ideality, barrier, temperature) }] }, [{ kind: 'current', plus: 'a', minus: 'k', amperes: current }], 'k')
  return solved.ok ? solved.volts.get('a') ?? Number.NaN : Number.NaN
}))

describe.skipIf(!present)('a junction from −10 °C to 70 °C', () => {
  it.each([['signal diode', signalDiode], ['rectifier', rectifierDiode], ['body diode', bodyDiode], ['Schottky', schottkyDiode]] as const)('%s: to 0.1 mV, as ngspice', (_, figures) => {
    const spice = inSpice(figures, figures.barrier)
    expect(spice).toHaveLength(celsius.length * amperes.length)
    here(figures, figures.barrier).forEach((volts, at) => expect(Math.abs(volts - (spice[at] ?? Number.NaN))).toBeLessThan(1e-4))
  })
  it('would notice a wrong gap', () => {
    const spice = inSpice(signalDiode, schottkyBarrier)
    expect(Math.abs((here(signalDiode, signalDiode.barrier)[0] ?? 0) - (spice[0] ?? 0))).toBeGreaterThan(1e-3)
  })
})
