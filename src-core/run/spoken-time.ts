/** How long a sentence takes to be heard, by its syllables, and the bound that keeps it between two touches. */

/** Pace of a speech engine at rate 1 (common practice, no source: about 150 words a minute). */
export const syllablesPerSecond = 4
/** What is said between two touches is no longer than this; each sentence by itself. */
export const mostSeconds = 3.5
/** A part with its pin counts as one word: it is heard as one name. */
export const mostWords = 8

const ones = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve', 'thirteen',
  'fourteen',
  'fifteen', 'sixteen', 'seventeen', 'eighteen', 'nineteen']
const tens = ['', '', 'twenty', 'thirty', 'forty', 'fifty', 'sixty', 'seventy', 'eighty', 'ninety']

const wholeAsRead = (n: number): string[] => {
  if (n < 20) return [ones[n] ?? '']
  if (n < 100) return [tens[Math.floor(n / 10)] ?? '', ...(n % 10 === 0 ? [] : wholeAsRead(n % 10))]
  if (n < 1000) return [...wholeAsRead(Math.floor(n / 100)), 'hundred', ...(n % 100 === 0 ? [] : wholeAsRead(n % 100))]
  return n < 1_000_000 ? [...wholeAsRead(Math.floor(n / 1000)), 'thousand', ...(n % 1000 === 0 ? [] : wholeAsRead(n % 1000))]
    : digitsAsRead(String(n))
}

const digitsAsRead = (digits: string): string[] => [...digits].map((digit) => ones[Number(digit)] ?? '')

/** A figure as an engine reads it: "4.7" is four point seven. */
const numberAsRead = (figure: string): string[] => {
  const [whole = '0', part] = figure.split('.')
  return [...wholeAsRead(Number(whole)), ...(part === undefined ? [] : ['point', ...digitsAsRead(part)])]
}

/** Groups of vowels, without a silent e at the end; a letter by itself is one syllable, W three. */
const syllablesOfWord = (word: string): number => {
  if (word.length === 1) return word.toLowerCase() === 'w' ? 3 : 1
  const spoken = word.toLowerCase().replace(/[^a-z]/g, '')
  const groups = spoken.replace(/(?<![aeiouyl])e$|(?<=[aeiouy][^aeiouy])le?s$/, '').match(/[aeiouy]+/g)?.length ?? 0
  // Two vowels side by side that are heard apart: "diode", "de-energised".
  return Math.max(1, groups + (spoken.match(/io(?=d)|ia(?!l)|uity/g)?.length ?? 0))
}

export const syllables = (sentence: string): number =>
  sentence.split(/[^A-Za-z0-9.]+/).map((token) => token.replace(/\.$/, '')).filter((token) => token !== '')
    .flatMap((token) => (/^\d+(\.\d+)?$/.test(token) ? numberAsRead(token) : [token]))
    .reduce((sum, word) => sum + syllablesOfWord(word), 0)

/** Seconds at rate 1; a comma is a short pause. */
export const spokenSeconds = (sentence: string): number =>
  syllables(sentence) / syllablesPerSecond + 0.15 * (sentence.match(/,/g)?.length ?? 0)

/** "J 1 pin 2" is one name; the rest are words. */
const spelledName = /\b[A-Z](?: [A-Z])*(?: \d+)?(?: pin [A-Za-z0-9]+(?: [A-Z0-9])*)?(?![a-z])/g

export const wordCount = (sentence: string): number =>
  sentence.replace(spelledName, 'name').split(/[\s,]+/).filter((word) => word !== '').length

/** Short enough to be heard between two touches. */
export const fitsBetweenTouches = (sentence: string): boolean => wordCount(sentence) <= mostWords && spokenSeconds(sentence) <= mostSeconds
