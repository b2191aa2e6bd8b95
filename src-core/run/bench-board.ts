/** Stands where a board type stands in a run with no board: it has no nets, no stores and no picture. */
import type { BoardType } from '../board/board-type'

export const benchBoard = (id: string, name: string, sequence: string): BoardType => ({
  schema: 'probewright/board-type/1', id, name, revision: '1', hazard: 'extra-low', mainsReferenced: false, cautions: [],
  pictures: [], nets: [], testPoints: [], parts: [], energyStores: [], disconnect: [],
  sequence: { id: sequence, version: 1, steps: [{ kind: 'do', id: 'leads-off', title: 'Leads off the board', words: 'Take the leads off the board.', parts: [], then: [] }] },
})
