/** Howe's approximation of the two-sided tolerance factor, which the exact one is held to: NIST/SEMATECH e-Handbook, 7.2.6.3 (from memory). */
import { chiSquareTail } from '../../../src-core/metrology/incomplete-gamma'
import { normalQuantile } from '../../../src-core/metrology/normal'
import { whereItReaches } from '../../../src-core/metrology/root'
import type { Coverage } from '../../../src-core/metrology/tolerance-factor'

export const chiSquareQuantile = (p: number, degrees: number): number => whereItReaches((x) => 1 - chiSquareTail(x, degrees), p, 0, 40 * degrees + 40)

export const howeFactor = (n: number, { share, confidence }: Coverage): number =>
  normalQuantile((1 + share) / 2) * Math.sqrt((n - 1) * (1 + 1 / n) / chiSquareQuantile(1 - confidence, n - 1))
