/** The token: taken from the address once, kept for a reload, and gone from the address bar. */
import { describe, expect, it } from 'vitest'
import { assetUrl, takeToken } from '../../src-renderer/connection/token'

const page = (hash: string, kept: Map<string, string>) => {
  const shown: string[] = []
  const own = {
    location: { hash, pathname: '/', search: '' },
    history: { replaceState: (_: unknown, __: string, address: string) => { shown.push(address) } },
    sessionStorage: { getItem: (key: string) => kept.get(key) ?? null, setItem: (key: string, value: string) => { kept.set(key, value) } },
  } as unknown as Parameters<typeof takeToken>[0]
  return { own, shown }
}

describe('the token', () => {
  it('leaves the address bar, and a reload still has it', () => {
    const kept = new Map<string, string>()
    const first = page('#abc-123', kept)
    expect(takeToken(first.own)).toBe('abc-123')
    expect(first.shown).toEqual(['/'])
    const reload = page('', kept)
    expect(takeToken(reload.own)).toBe('abc-123')
    expect(reload.shown).toEqual([])
  })

  it('of a newer start replaces the old one', () => {
    const kept = new Map<string, string>()
    takeToken(page('#old', kept).own)
    expect(takeToken(page('#new', kept).own)).toBe('new')
  })

  it('goes with every picture, escaped', () => {
    expect(assetUrl('/pictures/a.svg', 'x+y')).toBe('/pictures/a.svg?token=x%2By')
    expect(assetUrl('/pictures/a.svg', '')).toBe('/pictures/a.svg')
  })
})
