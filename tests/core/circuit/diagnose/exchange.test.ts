/** Before a verdict, explanations that no single exchange of faults leads to. */
import { expect, it } from 'vitest'
import { diagnose } from '../../../../src-core/circuit/diagnose'
import type { FileReading } from '../../../../src-core/circuit/readings-file'
import { scoredBoards } from '../score/boards'
import { fileOf } from './small-boards'

const node = scoredBoards('.').find(({ id, revision }) => id === 'vent-driver-node' && revision === 'D')
if (node === undefined) throw new Error('Revision D of the vent driver node is missing.')
const at = (net: string): string => node.testPoints.find((point) => point.net === net)?.id ?? net

/** What a simulated bench read with R7 and R4 open, D1 short at 3.3 Ω and 169 Ω at the receiver's input. */
const readings = ([
  ['V24_IN', 'TERM', 'resistance', 'overload'], ['V24_IN', 'BIAS_A', 'resistance', 129_400], ['V24_IN', 'BIAS_B', 'resistance', 57_120], ['B_IN', 'VCC', 'resistance', 9020],
  ['B_IN', 'BIAS_A', 'diode', 1.341], ['A_IN', 'TERM', 'diode', 'overload'], ['A_IN', 'A_IC', 'diode', 0.744], ['GND', 'B_IC', 'resistance', 166.6], ['GND', 'B', 'resistance', 173.4],
  ['BIAS_B', 'V24', 'resistance', 6700], ['BIAS_B', 'V24', 'diode', 1.325], ['B_IN', 'B', 'resistance', 3.4],
] as const).map(([red, black, what, value]): FileReading => ({
  red: at(red), black: at(black), function: what, value, evidence: value === 'overload' ? 'confirmed' : 'steady',
}))

it('a drifted resistor that would explain them is given up for an open one beside a short, which explain them better', () => {
  const [first] = diagnose(node, fileOf(node, readings)).classes
  const set = first?.sets[0]?.map((fault) => ('ref' in fault ? `${fault.ref} ${fault.kind}` : fault.kind)).sort()
  expect(set).toEqual(['D1 short', 'R4 open', 'R7 open', 'U2 leaky'])
  expect(first?.probability).toBeGreaterThan(0.5)
})
