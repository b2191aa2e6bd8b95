/** A QR code (ISO/IEC 18004) as filled squares: sharp at any size, and no picture. */
import qrcode from 'qrcode-generator'
import { inks, type Pdf } from './pen'

/** The quiet zone around it, in modules. */
const quiet = 4

/** @param side of the square it fills, quiet zone included. */
export const drawQr = (pdf: Pdf, text: string, x: number, y: number, side: number): void => {
  const code = qrcode(0, 'M')
  code.addData(text, 'Byte')
  code.make()
  const count = code.getModuleCount()
  const module = side / (count + 2 * quiet)
  for (let row = 0; row < count; row += 1) {
    // Dark modules beside each other are one rectangle: no hairline between them.
    for (let from = 0; from < count; from += 1) {
      if (!code.isDark(row, from)) continue
      let to = from
      while (to + 1 < count && code.isDark(row, to + 1)) to += 1
      pdf.rect(x + (from + quiet) * module, y + (row + quiet) * module, (to - from + 1) * module, module)
      from = to
    }
  }
  pdf.fill(inks.text)
}
