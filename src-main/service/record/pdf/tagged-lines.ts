/** Writes lines as one element of the page's structure. */
import type { Flow } from './paper'
import type { Style } from './pen'
import type { Tag } from './tags'

/** A line that another follows ends with a space: else whoever has the element read aloud hears two words as one. */
export const spaced = (lines: readonly string[]): string[] => lines.map((line, index) => (index < lines.length - 1 && line !== '' ? `${line} ` : line))

/** Lines one below the other, torn overleaf where they are many; the last of several never goes overleaf alone. */
export const writeTagged = (flow: Flow, lines: readonly string[], style: Style, tag: Tag): void => {
  const { pen } = flow
  const high = pen.lineHeight(style.size)
  const element = pen.tags.open(tag)
  for (let from = 0; from < lines.length;) {
    const rest = lines.length - from
    let fit = 0
    while (fit < rest && flow.y + (fit + 1) * high <= flow.bottom) fit += 1
    if (fit > 0 && fit === rest - 1) fit -= 1
    if (fit === 0) {
      flow.newPage()
      continue
    }
    pen.tags.mark(element, () => {
      for (const line of spaced(lines).slice(from, from + fit)) {
        pen.write(line, flow.left, flow.y, style)
        flow.y += high
      }
    })
    from += fit
  }
}
