/**
 * dictionary.*: all usual faults of a drawn board of 40 parts at every placement, both ways, in every driven function, by the built worker
 * from the question to the answer, its start included; and 2,000 of the same operating points, drawn by the seed, by ngspice in one batch
 * process: each a netlist of its own with ngspice's usual tolerances and its own diode. Both times are of the clock.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { drivenFunctions } from '../../src-core/circuit/dictionary'
import { genericDrives } from '../../src-core/circuit/meter-drive'
import { networkOf } from '../../src-core/circuit/network'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { createDictionaries } from '../../src-main/service/dictionaries'
import { createThread } from '../../src-main/service/threads'
import { netlistOf, ngspiceIsHere, runNgspice } from '../bench-tools/ngspice'
import { randomBoard } from '../bench-tools/random-boards'
import { root } from '../bench-tools/running-app'
import type { Figure } from './bench'

const parts = 40
const ngspicePoints = 2000

export const dictionaryFigures = async (seed: number): Promise<Figure[]> => {
  const random = seededRandom(seed)
  const board = randomBoard(parts, random)
  const thread = createThread(join(root, 'out/main/worker.js'), (error) => { throw error })
  const from = performance.now()
  const dictionary = await createDictionaries(thread).of('drawn', board, { sources: [], ranges: [] })
  const seconds = (performance.now() - from) / 1000
  thread.close()
  const points = dictionary.values.length
  const figures: Figure[] = [{ name: 'dictionary.points', value: points, unit: '' }, { name: 'dictionary.s', value: Number(seconds.toFixed(3)), unit: 's' }]
  if (!ngspiceIsHere()) {
    process.stderr.write('ngspice is not installed: dictionary.ngspice_ratio is not measured.\n')
    return figures
  }
  const folder = mkdtempSync(join(tmpdir(), 'dictionary-'))
  try {
    const { placements, faults } = dictionary
    const files = Array.from({ length: ngspicePoints }, (_, at) => {
      const fault = faults[Math.floor(random() * faults.length)]
      const placement = placements[Math.floor(random() * placements.length)]
      const range = genericDrives[drivenFunctions[Math.floor(random() * drivenFunctions.length)] ?? 'diode'].ranges[0]
      if (!fault || !placement || !range) throw new Error('The dictionary is empty.')
      const node = (net: string): string => (net === placement.black ? '0' : net)
      const file = join(folder, `${at}.cir`)
      writeFileSync(file, [`point ${at}`, '.options temp=25 tnom=25', ...netlistOf(networkOf(board, [fault]).elements, node, { itsOwn: true }),
        `V1 source 0 ${range.volts}`, `R source ${node(placement.red)} ${range.ohms}`, '.end', ''].join('\n'))
      return { file, red: node(placement.red) }
    })
    const script = files.flatMap(({ file, red }) => [`source ${file}`, 'op', `print v(${red})`, 'destroy all', 'remcirc'])
    const ran = runNgspice(['points', 'R1 a 0 1', '.control', ...script, 'quit', '.endc', '.end', ''].join('\n'))
    const answered = [...ran.output.matchAll(/^v\(n\d+\) = /gm)].length
    process.stderr.write(`ngspice: ${ngspicePoints} points in ${ran.seconds.toFixed(2)} s, ${answered} of them settled\n`)
    const each = seconds / points
    return [...figures, { name: 'dictionary.ngspice_ratio', value: Math.round(ran.seconds / ngspicePoints / each), unit: '' }]
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
