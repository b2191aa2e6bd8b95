/** How a value is spread whose greatest part is bounded (a resolution, a stated accuracy), with all the rest beside it as a normal one. */
import { normalDensity, normalShare } from './normal'

/**
 * Two rectangular parts with these half-widths, a ≥ b ≥ 0, make every trapezoid: b = 0 is a rectangle, b = a a triangle.
 * Or an arc sine of half-width a.
 */
export type Bounded = { kind: 'rectangles'; a: number; b: number } | { kind: 'arc-sine'; a: number }

export const boundedUncertainty = (of: Bounded): number =>
  (of.kind === 'arc-sine' ? of.a / Math.SQRT2 : Math.sqrt((of.a ** 2 + of.b ** 2) / 3))

/** ∫Φ and ∬Φ from −∞. */
const once = (z: number): number => z * normalShare(z) + normalDensity(z)
const twice = (z: number): number => ((z * z + 1) * normalShare(z) + z * normalDensity(z)) / 2

/** Nodes of the midpoint rule over the swing of an arc sine: the integrand is periodic and smooth, so it converges at once. */
const swingNodes = 512

const edgeClipped = (x: number): number => Math.min(1, Math.max(0, x))

/** Share below x of a trapezoid alone: the integral of its density. */
const trapezoidShare = (x: number, a: number, b: number): number => {
  if (b === 0) return edgeClipped((x + a) / (2 * a))
  if (x > 0) return 1 - trapezoidShare(-x, a, b)
  const rise = Math.max(0, x + a + b)
  return x <= b - a ? rise ** 2 / (8 * a * b) : (x + a) / (2 * a)
}

/** Share below x of the bounded part and a normal one of standard deviation `rest` together, both about zero. */
export const boundedShare = (x: number, of: Bounded, rest: number): number => {
  if (of.kind === 'arc-sine') {
    if (rest === 0) return 0.5 + Math.asin(Math.min(1, Math.max(-1, x / of.a))) / Math.PI
    let sum = 0
    for (let i = 0; i < swingNodes; i += 1) sum += normalShare((x - of.a * Math.sin(Math.PI * ((i + 0.5) / swingNodes - 0.5))) / rest)
    return sum / swingNodes
  }
  const { a, b } = of
  if (rest === 0) return trapezoidShare(x, a, b)
  if (b === 0) return (rest / (2 * a)) * (once((x + a) / rest) - once((x - a) / rest))
  const corners = twice((x + a + b) / rest) - twice((x + a - b) / rest) - twice((x - a + b) / rest) + twice((x - a - b) / rest)
  return (rest ** 2 / (4 * a * b)) * corners
}
