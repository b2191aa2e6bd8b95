/** Other people's programs that read a PDF: qpdf for its structure, poppler for its text, its pages and its pictures, zbar for a QR code. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const runs = (program: string, ...args: string[]): boolean => spawnSync(program, args, { stdio: 'ignore' }).error === undefined
export const qpdfIsHere = runs('qpdf', '--version')
export const popplerIsHere = runs('pdftotext', '-v')
export const zbarIsHere = runs('zbarimg', '--version')

/** @throws Error with what the program said where it fails. */
const ask = (program: string, args: readonly string[]): string => {
  const { status, stdout, stderr } = spawnSync(program, args, { encoding: 'utf8', maxBuffer: 64 * 2 ** 20 })
  if (status !== 0) throw new Error(`${program} ended with ${status}: ${stdout}${stderr}`)
  return stdout
}

const withFile = <T>(pdf: Uint8Array, work: (file: string, folder: string) => T): T => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-pdf-'))
  try {
    const file = join(folder, 'record.pdf')
    writeFileSync(file, pdf)
    return work(file, folder)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** @throws Error where qpdf finds anything to say against the file. */
export const checkedByQpdf = (pdf: Uint8Array): string => withFile(pdf, (file) => ask('qpdf', ['--check', file]))

/** Text in the order in which it stands in the file. */
export const textOf = (pdf: Uint8Array): string => withFile(pdf, (file) => ask('pdftotext', ['-raw', '-enc', 'UTF-8', file, '-']))

/** "Page size", "Pages", "Title", … */
export const infoOf = (pdf: Uint8Array): Record<string, string> => withFile(pdf, (file) =>
  Object.fromEntries(ask('pdfinfo', [file]).split('\n').flatMap((line) => { const found = /^([^:]+):\s+(.*)$/.exec(line); return found === null ? [] : [[found[1] ?? '', found[2] ?? '']] })))

/** Its structure, an element a line, with its text in quotation marks below it. */
export const structureOf = (pdf: Uint8Array): string => withFile(pdf, (file) => ask('pdfinfo', ['-struct-text', '-enc', 'UTF-8', file]))

export type Word = { page: number; text: string; left: number; top: number; right: number; bottom: number }

/** Every word with its box, in points from the upper left corner; and the size of each page. */
export const wordsOf = (pdf: Uint8Array): { pages: { width: number; height: number }[]; words: Word[] } => withFile(pdf, (file) => {
  const html = ask('pdftotext', ['-bbox', file, '-'])
  const pages: { width: number; height: number }[] = []
  const words: Word[] = []
  for (const [, width, height, left, top, right, bottom, text] of html.matchAll(/<page width="([\d.]+)" height="([\d.]+)">|<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">([^<]*)<\/word>/g)) {
    if (width !== undefined) pages.push({ width: Number(width), height: Number(height) })
    else words.push({ page: pages.length, text: text ?? '', left: Number(left), top: Number(top), right: Number(right), bottom: Number(bottom) })
  }
  return { pages, words }
})

/** What the QR codes of a page say. */
export const codesOn = (pdf: Uint8Array, page: number): string[] => withFile(pdf, (file, folder) => {
  ask('pdftoppm', ['-r', '200', '-png', '-f', String(page), '-l', String(page), file, join(folder, 'page')])
  const [picture] = readdirSync(folder).filter((name) => name.endsWith('.png'))
  return ask('zbarimg', ['--raw', '-q', join(folder, picture ?? '')]).split('\n').filter((line) => line !== '')
})
