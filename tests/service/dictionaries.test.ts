/** The dictionary from the worker: the same as here, kept by hash and meter, and tried again after a failure. */
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { dictionaryOf } from '../../src-core/circuit/dictionary'
import { createDictionaries } from '../../src-main/service/dictionaries'
import { createThread } from '../../src-main/service/threads'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { root } from '../bench-tools/running-app'
import { sampleBoard } from '../core/circuit/sample'

const later = closeAfterEach()
const board = sampleBoard('soil-relay')
const unknown = { sources: [], ranges: [] }

const opened = (file: string) => {
  const thread = createThread(file, () => undefined)
  later(() => { thread.close() })
  return createDictionaries(thread)
}

describe('the dictionary of a board', () => {
  it('comes from the built worker as it is tabulated here, once for a hash and a meter', async () => {
    const dictionaries = opened(join(root, 'out/main/worker.js'))
    const first = dictionaries.of('a', board, unknown)
    expect(dictionaries.of('a', board, unknown)).toBe(first)
    expect(await first).toEqual(dictionaryOf(board))
    const strong = { sources: [{ function: 'resistance' as const, range: null, volts: 3, ohms: 1000, amperes: null, plus: 'red' as const, basis: 'entered' as const }], ranges: [] }
    const other = dictionaries.of('a', board, strong)
    expect(other).not.toBe(first)
    expect((await other).values).not.toEqual((await first).values)
  })
  it('of a worker that is not there fails, and is asked for anew', async () => {
    const dictionaries = opened(join(root, 'out/main/no-such-worker.js'))
    const first = dictionaries.of('a', board, unknown)
    await expect(first).rejects.toThrow()
    const second = dictionaries.of('a', board, unknown)
    expect(second).not.toBe(first)
    await expect(second).rejects.toThrow()
  })
})
