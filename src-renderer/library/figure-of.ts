/** Reads a typed figure, with a point or a comma; null where it is none. */

export const figureOf = (text: string): number | null => {
  const plain = text.trim().replace(',', '.')
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain) ? Number(plain) : null
}
