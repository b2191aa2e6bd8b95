/** The same on every sample board, the largest too. */
import { fileURLToPath } from 'node:url'
import { checkProposed } from './proposed-checks'
import { scoredBoards } from './score/boards'

for (const board of scoredBoards(fileURLToPath(new URL('../../..', import.meta.url)))) checkProposed(board)
