/** What the library reads of a data folder: plain files where they belong; anything else is refused by name and hurts no other. */
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { MessageChannel, receiveMessageOnPort } from 'node:worker_threads'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { root } from '../../bench-tools/running-app'
import { ownedBytes, readLibrary, type LibraryContents } from '../../../src-main/service/library-files'

const shipped = join(root, 'fixtures/boards/vent-driver-node')
let folder: string
let elsewhere: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'probewright-library-'))
  elsewhere = mkdtempSync(join(tmpdir(), 'probewright-elsewhere-'))
})
afterEach(() => {
  for (const each of [folder, elsewhere]) rmSync(each, { recursive: true, force: true })
})

const read = (): LibraryContents => readLibrary(join(folder, 'no-built-in'), folder)
const pathTo = (...names: string[]): string => {
  mkdirSync(join(folder, ...names, '..'), { recursive: true })
  return join(folder, ...names)
}
const problems = (contents: LibraryContents): string[] => contents.problems.map(({ file, message }) => `${file.slice(folder.length + 1)}: ${message}`)
const putBoard = (name: string, revision: string): void => {
  cpSync(shipped, pathTo('boards', name), { recursive: true })
  const file = join(folder, 'boards', name, 'board.json')
  writeFileSync(file, readFileSync(file, 'utf8').replace(/"revision": "[^"]*"/, `"revision": "${revision}"`))
}
const putMeter = (name: string): void => {
  writeFileSync(pathTo('meters', `${name}.json`), readFileSync(join(root, 'fixtures/meters/line-meter-a.json'), 'utf8').replace('"Line meter A"', `"${name}"`))
}

describe('the library’s files', () => {
  it('a data folder without any is an empty library, without complaint', () => {
    expect(read()).toEqual({ boards: [], descriptions: [], problems: [], pictures: [] })
  })

  it('a file in place of the folder of meters or boards is a problem of that folder alone', () => {
    writeFileSync(join(folder, 'boards'), 'not a folder')
    putMeter('own')
    expect(read().descriptions.map(({ description }) => description.name)).toEqual(['own'])
    expect(problems(read())).toEqual([expect.stringMatching(/^boards: This must be a folder/)])
    rmSync(join(folder, 'boards'))
    rmSync(join(folder, 'meters'), { recursive: true })
    writeFileSync(join(folder, 'meters'), 'not a folder')
    putBoard('own', 'X')
    expect(read().boards.map(({ board }) => board.revision)).toEqual(['X'])
    expect(problems(read())).toEqual([expect.stringMatching(/^meters: This must be a folder/)])
  })

  it('a link is refused, whatever it leads to: description, board file, picture, board folder', () => {
    putBoard('good', 'A')
    putMeter('good')
    putBoard('linked-file', 'B')
    putBoard('linked-picture', 'C')
    putBoard('away', 'D')
    for (const name of ['linked-file/board.json', 'linked-picture/top.svg']) {
      const kept = join(elsewhere, name.replace('/', '-'))
      cpSync(join(folder, 'boards', name), kept)
      rmSync(join(folder, 'boards', name))
      symlinkSync(kept, join(folder, 'boards', name))
    }
    cpSync(join(folder, 'boards/away'), join(elsewhere, 'away'), { recursive: true })
    rmSync(join(folder, 'boards/away'), { recursive: true })
    symlinkSync(join(elsewhere, 'away'), join(folder, 'boards/away'))
    symlinkSync(join(root, 'fixtures/meters/line-meter-b.json'), pathTo('meters', 'linked.json'))
    symlinkSync(join(elsewhere, 'nothing-there'), pathTo('meters', 'broken-link.json'))
    const contents = read()
    expect(contents.boards.map(({ board }) => board.revision)).toEqual(['A'])
    expect(contents.descriptions.map(({ description }) => description.name)).toEqual(['good'])
    expect(contents.pictures).toHaveLength(1)
    expect(problems(contents)).toEqual([
      'boards/away: The board folder cannot be read: it is a link; put the folder itself there.',
      'boards/linked-file/board.json: The file cannot be read: it is a link; put the file itself there.',
      'boards/linked-picture/board.json: The picture top.svg cannot be read: it is a link; put the file itself there.',
      'meters/broken-link.json: The file cannot be read: it is a link; put the file itself there.',
      'meters/linked.json: The file cannot be read: it is a link; put the file itself there.',
    ])
  })

  // In a program of its own: reading a pipe would wait for ever, and no clock of a test could end that.
  it.skipIf(process.platform === 'win32')('a pipe is refused and holds up nothing', () => {
    putBoard('piped-picture', 'P')
    rmSync(join(folder, 'boards/piped-picture/top.svg'))
    for (const path of [pathTo('boards', 'piped-picture', 'top.svg'), pathTo('boards', 'piped', 'board.json'), pathTo('meters', 'piped.json')]) {
      expect(spawnSync('mkfifo', [path]).status).toBe(0)
    }
    const script = `
      const { Worker } = await import('node:worker_threads')
      const worker = new Worker(${JSON.stringify(join(root, 'out/main/worker.js'))}, { execArgv: [] })
      worker.once('message', ({ answer: { problems } }) => { console.log(JSON.stringify(problems)); process.exit(0) })
      worker.postMessage({ work: 'read-library', of: { builtIn: ${JSON.stringify(join(folder, 'none'))}, data: ${JSON.stringify(folder)} } })`
    const ended = spawnSync(process.execPath, ['--input-type=module', '-e', script], { encoding: 'utf8', timeout: 60_000 })
    expect([ended.signal, ended.stderr]).toEqual([null, ''])
    const found = JSON.parse(ended.stdout) as LibraryContents['problems']
    expect(found.map(({ file, message }) => `${file.slice(folder.length + 1)}: ${message}`)).toEqual([
      'boards/piped/board.json: The file cannot be read: it is a pipe; put the file itself there.',
      'boards/piped-picture/board.json: The picture top.svg cannot be read: it is a pipe; put the file itself there.',
      'meters/piped.json: The file cannot be read: it is a pipe; put the file itself there.',
    ])
  })

  it('a pattern that is slow on some line is refused in a file of the user', () => {
    putMeter('slow')
    const file = pathTo('meters', 'slow.json')
    const slow = JSON.parse(readFileSync(file, 'utf8')) as { pattern: string }
    writeFileSync(file, JSON.stringify({ ...slow, pattern: slow.pattern.replace(/\$$/, '(?:a+a+)+b$') }))
    expect(problems(read())).toEqual([expect.stringMatching(/^meters\/slow\.json: pattern: "pattern" is refused because/)])
  })

  it('a folder with the name of a file, and a picture too large or missing, are refused by name', () => {
    mkdirSync(pathTo('meters', 'folder.json'))
    putBoard('heavy', 'H')
    truncateSync(join(folder, 'boards/heavy/top.svg'), 21 * 1024 * 1024)
    putBoard('bare', 'B')
    rmSync(join(folder, 'boards/bare/top.svg'))
    expect(problems(read())).toEqual([
      expect.stringMatching(/^boards\/bare\/board\.json: The picture top\.svg cannot be read: .*no such file/),
      expect.stringMatching(/^boards\/heavy\/board\.json: The picture top\.svg cannot be read: it is 22020096 bytes, more than the 20971520 allowed/),
      'meters/folder.json: The file cannot be read: it is a folder; put the file itself there.',
    ])
  })

  it('hands its pictures to another thread instead of copying them, small and large, and with every byte', () => {
    putBoard('large', 'L')
    putBoard('small', 'S')
    writeFileSync(join(folder, 'boards/small/top.svg'), '<svg xmlns="http://www.w3.org/2000/svg"/>')
    const { contents, transferList } = ownedBytes(read())
    expect(transferList).toHaveLength(2)
    const { port1, port2 } = new MessageChannel()
    port1.postMessage(contents, transferList)
    expect(contents.pictures.map(({ bytes }) => bytes.length)).toEqual([0, 0])
    const { message } = receiveMessageOnPort(port2) as { message: LibraryContents }
    expect(message.pictures.map(({ bytes }) => bytes.buffer.byteLength)).toEqual([readFileSync(join(shipped, 'top.svg')).length, 41])
    expect(message.pictures.map(({ path, bytes }) => path.includes(createHash('sha256').update(bytes).digest('hex')))).toEqual([true, true])
    port1.close()
  })
})
