/** Breaks a text into lines of a width: at spaces, never between a figure and its unit; a word that is too long, between letters. */

const joiner = '\u00a0'
const unit = '(?:[fpnµmkMGT]?(?:V|Ω|F|H|Hz|K|A)|°C|%|s|ms|counts?)'
const beforeUnit = new RegExp(`(?<=[\\d∞)]) (?=${unit}(?![A-Za-z]))`, 'g')

/** What must stay on one line is joined by a space that does not break. */
const joined = (text: string): string => text.replace(beforeUnit, joiner).replace(/± /g, `±${joiner}`).replace(/(?<=\b[kU]) = /g, `${joiner}=${joiner}`)

/** Printable ASCII: nothing to tidy. */
const isPlain = /^[ -~]*$/

/** Line ends of every system are one; what else has no shape of its own is a space. */
const tidy = (text: string): string => (isPlain.test(text) ? text : text.normalize('NFC').replace(/\r\n?|[\u2028\u2029\u0085\v\f]/g, '\n').replace(/\t/g, ' '))

/** @param width of a word in one line; that of a line is the sum of its words and spaces. */
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
    const space = width(' ')
    let [line, filled] = ['', 0]
    for (const word of joined(paragraph).split(' ').filter((each) => each !== '')) {
      const wide = width(word)
      if (filled + (line === '' ? 0 : space) + wide <= most) {
        filled += (line === '' ? 0 : space) + wide
        line = line === '' ? word : `${line} ${word}`
        continue
      }
      if (line !== '') lines.push(line)
      const loose = wide <= most ? [word] : word.replaceAll(joiner, ' ').split(' ').flatMap((each) => (width(each) <= most ? [each] : parts(each)))
      lines.push(...loose.slice(0, -1))
      line = loose.at(-1) ?? ''
      filled = width(line)
    }
    return [...lines, line]
  }
  return tidy(text).split('\n').flatMap(linesOf).map((line) => line.replaceAll(joiner, ' '))
}
