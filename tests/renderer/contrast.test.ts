/**
 * Colours hold their contrast in both themes. Relative luminance and contrast ratio as defined in WCAG 2.2
 * (W3C Recommendation), success criterion 1.4.3: 4.5:1 for text, 3:1 for large text and (1.4.11) for marks.
 */
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'

const css = readFileSync(new URL('../../src-renderer/styles/tokens.css', import.meta.url), 'utf8')
const [dark = '', light = ''] = css.split('@media (prefers-color-scheme: light)')

const tokens = (part: string): Record<string, string> =>
  Object.fromEntries([...part.matchAll(/--([a-z-]+): (#[0-9a-f]{6});/g)].map(([, name, colour]) => [name, colour]))

const luminance = (hex: string): number => {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const channel = parseInt(hex.slice(at, at + 2), 16) / 255
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}

const contrast = (a: string, b: string): number => {
  const [high = 0, low = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x)
  return (high + 0.05) / (low + 0.05)
}

it('the formula gives WCAG’s own ends: 21:1 for black on white, 1:1 for a colour on itself', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5)
  expect(contrast('#2bc79a', '#2bc79a')).toBe(1)
})

describe.each([
  ['dark', tokens(dark)],
  ['light', { ...tokens(dark), ...tokens(light) }],
])('the %s theme', (_, colours) => {
  const of = (name: string): string => {
    const colour = colours[name]
    if (colour === undefined) throw new Error(`tokens.css has no colour --${name}`)
    return colour
  }
  const grounds = ['ground', 'sheet', 'now-ground']

  it.each(['ink', 'soft', 'pass', 'fail', 'maybe', 'now'])('--%s is text on every ground: 4.5:1', (name) => {
    for (const ground of grounds) expect(contrast(of(name), of(ground)), `${name} on ${ground}`).toBeGreaterThanOrEqual(4.5)
  })

  it.each(['now', 'maybe'])('text on a --%s ground: 4.5:1', (name) => {
    expect(contrast(of('on-colour'), of(name))).toBeGreaterThanOrEqual(4.5)
  })

  it.each([
    ['red-lead', 'ground'],
    ['red-lead', 'red-ground'],
    ['black-lead', 'black-ground'],
    ['edge', 'ground'],
    ['edge', 'sheet'],
  ])('--%s is a mark on --%s: 3:1', (mark, ground) => {
    expect(contrast(of(mark), of(ground))).toBeGreaterThanOrEqual(3)
  })

  it.each(['red-ground', 'black-ground'])('the lead’s word on --%s: 4.5:1', (ground) => {
    expect(contrast(of('ink'), of(ground))).toBeGreaterThanOrEqual(4.5)
  })
})
