/** Kept pictures are read once while the app runs, one a turn of the loop, and a damaged one is not served. */
import { createHash } from 'node:crypto'
import { mkdirSync, mkdtempSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { openAssets } from '../../src-main/service/assets'
import { createKeptPictures } from '../../src-main/service/kept-pictures'
import { closeAfterEach } from '../bench-tools/close-after-each'

const later = closeAfterEach()

it('serves each picture of a folder, read once, and not one that is not what its name says', async () => {
  const data = mkdtempSync(join(tmpdir(), 'probewright-pictures-'))
  later(() => { rmSync(data, { recursive: true, force: true }) })
  mkdirSync(join(data, 'pictures'))
  mkdirSync(join(data, 'page'))
  const made = Array.from({ length: 5 }, (_, at) => Buffer.from(`picture ${at}`))
  const paths = made.map((bytes) => `/pictures/${createHash('sha256').update(bytes).digest('hex')}.png`)
  const files = paths.map((path) => join(data, path))
  made.forEach((bytes, at) => { writeFileSync(files[at] ?? '', at === 3 ? Buffer.from('picture 0') : bytes) })
  const damaged = files[3] ?? ''

  const assets = openAssets(join(data, 'page'))
  const pictures = createKeptPictures(data, assets)
  const servedAtTurns: number[] = []
  const served = (): boolean[] => paths.map((path) => assets.picture(path) !== null)
  await pictures.serveAll(paths, () => { servedAtTurns.push(served().filter(Boolean).length); return Promise.resolve() })
  expect(servedAtTurns).toEqual([1, 2, 3, 3, 4])
  expect(served()).toEqual([true, true, true, false, true])

  // Mended, but with the size and time it had: it is not read again. Once its time says that it changed, it is.
  const { atime, mtime } = statSync(damaged)
  utimesSync(damaged, atime, mtime)
  await pictures.serveAll(paths)
  writeFileSync(damaged, made[3] ?? '')
  utimesSync(damaged, atime, mtime)
  // The others are held: their files are not asked again.
  files.forEach((file) => { if (file !== damaged) rmSync(file) })
  await pictures.serveAll(paths)
  expect(served()).toEqual([true, true, true, false, true])
  utimesSync(damaged, atime, new Date(mtime.getTime() + 1000))
  await pictures.serveAll(paths)
  expect(served()).toEqual([true, true, true, true, true])
})
