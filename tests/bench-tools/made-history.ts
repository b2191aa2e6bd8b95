/** The runs of a busy shop over three years, made by the thousand: three board types of forty steps, three meters, units that fail and come back. */
import { createHash } from 'node:crypto'
import type { BoardType } from '../../src-core/board/board-type'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import type { RunEvent } from '../../src-core/run/event'
import { madeMeter, madeRun, productsMade } from './made-runs'

export const historySteps = 40

type File = { board: BoardType; sha256: string }

const ofLength = ({ board }: File, steps: number): File => {
  const own = board.sequence.steps.filter(({ kind }) => kind === 'measure')
  const longer = { ...board, sequence: { ...board.sequence, steps: Array.from({ length: steps }, (_, at) => {
    const step = own[at % own.length]
    if (step === undefined) throw new Error('The sample has no steps.')
    return { ...step, id: `${step.id}-${at}`, then: [] }
  }) } }
  return { board: longer, sha256: createHash('sha256').update(JSON.stringify(longer)).digest('hex') }
}

export const historyBoards: File[] = productsMade.filter(({ board: { id, revision } }) => id !== 'vent-driver-node' || revision === 'C').slice(0, 3).map((file) => ofLength(file, historySteps))

const meters = ['Bench meter', 'Second meter', 'Field meter'].map((name, at) => ({ ...madeMeter, id: `meter-${at}`, name }))
const firstDay = Date.UTC(2023, 0, 2, 6)
const [days, dayMs] = [1095, 86_400_000]

/** `count` runs in the order they were begun; the first board type has about half of them. The same for the same seed. */
export const madeHistory = function* (count: number, seed: number): Generator<{ events: RunEvent[]; file: File }> {
  const random = seededRandom(seed)
  for (let n = 0; n < count; n += 1) {
    const file = historyBoards[Math.floor(random() ** 1.7 * historyBoards.length)] ?? historyBoards[0]
    if (file === undefined) return
    const draw = random()
    const id = createHash('sha256').update(`${seed} ${n}`).digest('hex')
    const at = (n / count) * days
    yield {
      file, events: madeRun({
        of: file, run: `${id.slice(0, 8)}-${id.slice(8, 12)}-4${id.slice(13, 16)}-8${id.slice(17, 20)}-${id.slice(20, 32)}`, session: '66666666-7777-4888-9999-aaaaaaaaaaaa',
        startedMs: firstDay + Math.floor(at) * dayMs + Math.floor((at % 1) * 9 * 3_600_000), serialNumber: `U-${Math.floor(random() * count * 0.7)}`,
        verdict: draw < 0.66 ? 'pass' : draw < 0.9 ? 'fail' : draw < 0.95 ? 'beyond-repair' : 'incomplete', random, meter: meters[Math.floor(at / 200) % meters.length] ?? madeMeter,
      }),
    }
  }
}
