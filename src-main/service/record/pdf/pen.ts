/** Writes words on a PDF page in two faces of one typeface, and refuses what the face has no glyph for. */
import { createRequire } from 'node:module'
import PDFDocument from 'pdfkit'
import { faceOf, setPlainly } from './plain-layout'
import { createTags, type Tags } from './tags'

export type Pdf = InstanceType<typeof PDFDocument>
export type Face = 'regular' | 'strong'
export type Style = { face: Face; size: number; colour: string }

export const inks = { text: '#14181d', faint: '#4d5863', line: '#aab3bb', band: '#eef1f3', red: '#c1121f', good: '#1b6b3a', bad: '#a8201a', doubt: '#8a5a00' } as const

/** A text of the record that cannot be printed; the message says what to do. */
export class CannotPrint extends Error {}

const find = createRequire(import.meta.url)
const files: Record<Face, string> = {
  regular: '@expo-google-fonts/inter/400Regular/Inter_400Regular.ttf', strong: '@expo-google-fonts/inter/600SemiBold/Inter_600SemiBold.ttf',
}

export type Pen = {
  pdf: Pdf
  tags: Tags
  /** A whole text, before it is broken into lines. @throws CannotPrint where the face lacks a glyph of it; what is said names the text. */
  check: (text: string, face: Face) => void
  /** Width of a text in one line. @throws CannotPrint as `write` does. */
  width: (text: string, style: Style) => number
  /** One line; `y` is its upper edge. @throws CannotPrint where the face has no glyph. */
  write: (text: string, x: number, y: number, style: Style) => void
  /** One line on its baseline. @throws CannotPrint */
  writeOn: (text: string, x: number, baseline: number, style: Style) => void
  lineHeight: (size: number) => number
  /** The text with a question mark for every letter without a glyph: for what is no part of the record. */
  printable: (text: string, face: Face) => string
}

const shown = (letter: string): string => {
  const code = (letter.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')
  return /\p{C}|\p{Z}/u.test(letter) ? `U+${code}` : `“${letter}” (U+${code})`
}

const leading = 1.28

export const createPen = (pdf: Pdf): Pen => {
  const known: Record<Face, Set<string>> = { regular: new Set(), strong: new Set() }
  const widths = new Map<string, number>()
  for (const [face, file] of Object.entries(files)) {
    pdf.registerFont(face, find.resolve(file)).font(face)
    setPlainly(faceOf(pdf))
  }

  const take = ({ face, size }: Style): void => { pdf.font(face).fontSize(size) }

  const check = (text: string, face: Face): void => {
    for (const letter of text) {
      if (known[face].has(letter)) continue
      if (!faceOf(pdf).font.hasGlyphForCodePoint(letter.codePointAt(0) ?? 0)) {
        throw new CannotPrint(`The typeface of the PDF has no glyph for ${shown(letter)} in “${text.slice(0, 60)}”. Export JSON or CSV, which hold every letter, or correct the record without it.`)
      }
      known[face].add(letter)
    }
  }

  const put = (text: string, x: number, y: number, style: Style, baseline: 'top' | 'alphabetic'): void => {
    take(style)
    check(text, style.face)
    pdf.fillColor(style.colour).text(text, x, y, { lineBreak: false, baseline })
  }

  return {
    pdf, tags: createTags(pdf),
    check: (text, face) => {
      pdf.font(face)
      check(text.normalize('NFC').replace(/\s/g, ' '), face)
    },
    width: (text, style) => {
      const key = `${style.face}${style.size} ${text}`
      const before = widths.get(key)
      if (before !== undefined) return before
      take(style)
      check(text, style.face)
      const width = pdf.widthOfString(text)
      widths.set(key, width)
      return width
    },
    write: (text, x, y, style) => { if (text !== '') put(text, x, y + style.size * 0.06, style, 'top') },
    writeOn: (text, x, baseline, style) => { if (text !== '') put(text, x, baseline, style, 'alphabetic') },
    lineHeight: (size) => size * leading,
    printable: (text, face) => {
      pdf.font(face)
      return [...text].map((letter) => (faceOf(pdf).font.hasGlyphForCodePoint(letter.codePointAt(0) ?? 0) ? letter : '?')).join('')
    },
  }
}
