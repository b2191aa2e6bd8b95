/**
 * Sets text letter by letter, each glyph behind the other, without the contextual forms and the kerning of the typeface: its tables of
 * those take longer than all the rest of a PDF. Letters with marks of their own still go the long way.
 */
import type { Pdf } from './pen'

type Glyph = { advanceWidth: number }
type Position = { xAdvance: number; yAdvance: number; xOffset: number; yOffset: number; advanceWidth: number }
type Run = { glyphs: Glyph[]; positions: Position[]; advanceWidth: number }
/** What pdfkit 0.20 keeps of a face; it has no public name. */
type Embedded = { scale: number; font: { glyphForCodePoint: (code: number) => Glyph; hasGlyphForCodePoint: (code: number) => boolean }; layoutRun: (text: string, features?: unknown) => Run }

/** The face that was chosen last. */
export const faceOf = (pdf: Pdf): Embedded => (pdf as unknown as { _font: Embedded })._font

export const setPlainly = (face: Embedded): void => {
  const whole = face.layoutRun.bind(face)
  face.layoutRun = (text, features) => {
    if (/\p{M}/u.test(text)) return whole(text, features)
    const glyphs = [...text].map((letter) => face.font.glyphForCodePoint(letter.codePointAt(0) ?? 0))
    const positions = glyphs.map((glyph): Position => {
      const advanceWidth = glyph.advanceWidth * face.scale
      return { xAdvance: advanceWidth, yAdvance: 0, xOffset: 0, yOffset: 0, advanceWidth }
    })
    return { glyphs, positions, advanceWidth: positions.reduce((sum, { xAdvance }) => sum + xAdvance, 0) }
  }
}
