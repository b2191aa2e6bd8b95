/** How long a pattern can take: what cannot be bounded is refused from its shape, the rest is tried on growing lines. */
import { wholeLine } from './decode-line'
import { patternShape, type Shape } from './pattern-shape'
import { walkerOf } from './pattern-steps'

/** formats.md: a pattern runs on the serial loop, so a line must not cost more than this. */
export const mostMilliseconds = 1
/** Beyond these the engine is not even tried, because it cannot be stopped. */
const mostSteps = 100_000
const longestLine = 128
const triesOfOneLine = 5
const mostFamilies = 400

/** Characters a node takes if always the same number, and without alternatives; null otherwise. */
const fixedWidth = (node: Shape): number | null => {
  switch (node.kind) {
    case 'edge': return 0
    case 'character': return 1
    case 'choice': return null
    case 'group': return fixedWidth(node.body)
    case 'sequence': return node.items.reduce<number | null>((sum, item) => {
      const width = fixedWidth(item)
      return sum === null || width === null ? null : sum + width
    }, 0)
    case 'repeat': {
      const width = fixedWidth(node.body)
      return width === null || node.least !== node.most ? null : width * node.least
    }
  }
}

/** Why a repetition in this shape could take time without bound; null when each stands alone. */
const unboundedPart = (node: Shape): string | null => {
  const firstOf = (nodes: Shape[]): string | null => nodes.reduce<string | null>((found, item) => found ?? unboundedPart(item), null)
  switch (node.kind) {
    case 'edge': case 'character': return null
    case 'sequence': return firstOf(node.items)
    case 'choice': return firstOf(node.options)
    case 'group': return unboundedPart(node.body)
    case 'repeat': {
      const width = fixedWidth(node.body)
      if (node.most > 1 && width === null) return 'a repeated group holds another repetition or alternatives'
      if (node.most > 1 && width === 0) return 'something is repeated that takes no character'
      const most = node.most === Infinity ? node.least : node.most
      if (most * (width ?? 1) > longestLine) return `a count goes beyond the longest line, ${longestLine} bytes`
      return unboundedPart(node.body)
    }
  }
}

const printable = Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i))
const tellingFirst = ['0', 'a', 'A', ' ', '.', '-', '1', ';', ',', '_', '\u0000', '\u00ff']
const repertoire = [...tellingFirst, ...printable.filter((c) => !tellingFirst.includes(c))]

/** Characters that a piece of the pattern takes, telling ones first. */
type Accepted = (source: string) => string[]

const acceptedOnce = (): Accepted => {
  const known = new Map<string, string[]>()
  return (source) => {
    const before = known.get(source)
    if (before !== undefined) return before
    const accepts = new RegExp(`^(?:${source})$`)
    const found = repertoire.filter((c) => accepts.test(c))
    known.set(source, found)
    return found
  }
}

/** Whether what may be left out is left out, or taken once. */
type Options = 'left out' | 'taken once'

/** A short text a node takes, each character the first it accepts. */
const sample = (node: Shape, options: Options, accepted: Accepted): string => {
  switch (node.kind) {
    case 'edge': return ''
    case 'character': return accepted(node.source)[0] ?? ''
    case 'sequence': return node.items.map((item) => sample(item, options, accepted)).join('')
    case 'choice': return node.options[0] === undefined ? '' : sample(node.options[0], options, accepted)
    case 'group': return sample(node.body, options, accepted)
    case 'repeat': {
      const times = options === 'taken once' && node.most > 0 ? Math.max(1, node.least) : node.least
      return sample(node.body, options, accepted).repeat(times)
    }
  }
}

/** A family of probing lines: `before`, then `unit` again and again, then `tail`. */
type Family = { before: string; unit: string; tail: string }
type Pump = { before: string; units: string[] }

const unitsFor = (node: Shape, options: Options, accepted: Accepted): string[] => {
  switch (node.kind) {
    case 'character': return accepted(node.source).slice(0, 4)
    case 'group': return unitsFor(node.body, options, accepted)
    default: return [sample(node, options, accepted)]
  }
}

/** Where a repetition or a choice stands, what leads up to it and what can be repeated there. */
const pumps = (node: Shape, before: string, options: Options, accepted: Accepted): Pump[] => {
  switch (node.kind) {
    case 'edge': case 'character': return []
    case 'group': return pumps(node.body, before, options, accepted)
    case 'choice': return node.options.flatMap((option) =>
      [{ before, units: [sample(option, options, accepted)] }, ...pumps(option, before, options, accepted)])
    case 'repeat': return [{ before, units: unitsFor(node.body, options, accepted) }, ...pumps(node.body, before, options, accepted)]
    case 'sequence': {
      let lead = before
      return node.items.flatMap((item) => {
        const found = pumps(item, lead, options, accepted)
        lead += sample(item, options, accepted)
        return found
      })
    }
  }
}

const families = (shape: Shape): Family[] => {
  const everywhere = { before: '', units: ['0', 'a', 'A', ' ', '.', '-', '\u0000', '\u00ff', '0a ', 'a.0', '-0', 'aA'] }
  const accepted = acceptedOnce()
  const seen = new Map<string, Family>()
  for (const { before, units } of [everywhere, ...pumps(shape, '', 'left out', accepted), ...pumps(shape, '', 'taken once', accepted)]) {
    for (const unit of units) {
      if (unit === '') continue
      for (const tail of ['', '\u0000']) seen.set(JSON.stringify([before, unit, tail]), { before, unit, tail })
    }
  }
  return [...seen.values()].slice(0, mostFamilies)
}

/** The least of a few tries, so that a busy machine does not refuse a good pattern. */
const quickest = (pattern: RegExp, line: string, clock: () => number): number => {
  let least = Infinity
  for (let i = 0; i < triesOfOneLine && least > mostMilliseconds; i += 1) {
    const began = clock()
    pattern.exec(line)
    least = Math.min(least, clock() - began)
  }
  return least
}

/** Lengths grow by an eighth; the longest line is always among them. */
const repeatsTo = (most: number): number[] => {
  const repeats: number[] = []
  for (let n = 1; n < most; n += 1 + (n >> 3)) repeats.push(n)
  return most < 1 ? [] : [...repeats, most]
}

/**
 * Null when the pattern stays under 1 ms on every probing line of up to `maxBytes`; otherwise why it is refused. Each line
 * is first walked through step by step with a limit, so that no pattern can hold the engine.
 * @param clock milliseconds, monotonic; core has no clock of its own
 */
export const patternTrouble = (pattern: string, maxBytes: number, clock: () => number): string | null => {
  const found = patternShape(pattern)
  if ('refused' in found) return `${found.refused}: its time on a broken line cannot be bounded`
  const unbounded = unboundedPart(found.shape)
  if (unbounded !== null) {
    return `${unbounded}: its time on a broken line cannot be bounded. Write each repetition on its own, or a fixed count`
  }
  const compiled = wholeLine(pattern)
  const walk = walkerOf(found.shape)
  const advice = 'Let neighbouring repetitions and alternatives take different characters'
  for (const { before, unit, tail } of families(found.shape)) {
    const room = maxBytes - before.length - tail.length
    for (const times of repeatsTo(Math.floor(room / unit.length))) {
      const line = before + unit.repeat(times) + tail
      if (walk(line, mostSteps).steps > mostSteps) {
        return `it takes more than ${mostSteps} steps on a broken line of ${line.length} bytes. ${advice}`
      }
      const milliseconds = quickest(compiled, line, clock)
      if (milliseconds > mostMilliseconds) {
        return `it took ${milliseconds.toFixed(1)} ms on a broken line of ${line.length} bytes, and 1 ms is the most. ${advice}`
      }
    }
  }
  return null
}
