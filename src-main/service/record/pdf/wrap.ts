/** Breaks a text into lines of a width: at spaces, never between a figure and its unit; a word that is too long, between letters. */

const joiner = '\u00a0'
const unit = '(?:[fpnµmkMGT]?(?:V|Ω|F|H|Hz|K|A)|°C|%|s|ms|counts?)'
const beforeUnit = new RegExp(`(?<=[\\d∞)]) (?=${unit}(?![A-Za-z]))`, 'g')

/** What must stay on one line is joined by a space that does not break. */
const joined = (text: string): string => text.replace(beforeUnit, joiner).replace(/± /g, `±${joiner}`).replace(/(?<=\b[kU]) = /g, `${joiner}=${joiner}`)

/** Line ends of every system are one; what else has no shape of its own is a space. */
const tidy = (text: string): string => text.normalize('NFC').replace(/\r\n?|[\u2028\u2029\u0085\v\f]/g, '\n').replace(/\t/g, ' ')

/** @param width of a text in one line. */
export const wrapped = (text: string, most: number, width: (text: string) => number): string[] => {
  const parts = (word: string): string[] => {
    const pieces: string[] = []
    let piece = ''
    for (const letter of word) {
      if (piece !== '' && width(piece + letter) > most) {
        pieces.push(piece)
        piece = ''
      }
      piece += letter
    }
    return [...pieces, piece]
  }
  const linesOf = (paragraph: string): string[] => {
    const lines: string[] = []
    let line = ''
    for (const word of joined(paragraph).split(' ').filter((each) => each !== '')) {
      const longer = line === '' ? word : `${line} ${word}`
      if (width(longer) <= most) {
        line = longer
        continue
      }
      if (line !== '') lines.push(line)
      const loose = width(word) <= most ? [word] : word.replaceAll(joiner, ' ').split(' ').flatMap((each) => (width(each) <= most ? [each] : parts(each)))
      lines.push(...loose.slice(0, -1))
      line = loose.at(-1) ?? ''
    }
    return [...lines, line]
  }
  return tidy(text).split('\n').flatMap(linesOf).map((line) => line.replaceAll(joiner, ' '))
}
