/** Finds the board pictures that records name by their SHA-256, among files and in folders; only what has that hash is taken. */
import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { basename, extname, join } from 'node:path'
import type { SignedFile } from '../../../src-core/record/schema'

const pictureEndings = ['.svg', '.png', '.jpg', '.jpeg']
/** Larger than any picture the library takes. */
const largest = 32 * 2 ** 20

/** In the order of their names, so that a search finds the same everywhere. */
const filesAt = (place: string): string[] => {
  if (!existsSync(place)) return []
  if (!statSync(place).isDirectory()) return [place]
  return readdirSync(place, { withFileTypes: true, recursive: true }).filter((entry) => entry.isFile() && pictureEndings.includes(extname(entry.name).toLowerCase()))
    .map((entry) => join(entry.parentPath, entry.name)).sort()
}

export const sha256OfBytes = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex')

export const picturesNamed = (files: readonly SignedFile[]): string[] =>
  [...new Set(files.flatMap((file) => ('record' in file ? [file.record.board.picture, ...file.record.board.otherPictures ?? []] : [])).flatMap((picture) => picture?.sha256 ?? []))]

/** @param places files, or folders that hold pictures at any depth. A picture that is not found is left out. */
export const picturesFor = (files: readonly SignedFile[], places: readonly string[]): Map<string, Uint8Array> => {
  const found = new Map<string, Uint8Array>()
  const wanted = new Set(picturesNamed(files))
  if (wanted.size === 0) return found
  // Kept pictures are named by their hash: looked at first.
  const candidates = places.flatMap(filesAt).sort((a, b) => Number(wanted.has(basename(b, extname(b)))) - Number(wanted.has(basename(a, extname(a)))))
  for (const file of candidates) {
    if (found.size === wanted.size) break
    if (statSync(file).size > largest) continue
    const bytes = readFileSync(file)
    const sha256 = sha256OfBytes(bytes)
    if (wanted.has(sha256)) found.set(sha256, bytes)
  }
  return found
}
