/** Where a file stops being JSON. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { jsonFaultAt, jsonFaultPlace } from '../../../src-main/service/json-fault'

describe('the place where JSON is broken', () => {
  it.each([
    ['{\n  "a": 1,\n  "b": tru\n}', 'line 3, column 8'], ['{ "a": 1, }', 'line 1, column 11'], ['{ "a" 1 }', 'line 1, column 7'],
    ['{ "schema": ', 'line 1, column 13'], ['[1 2]', 'line 1, column 4'], ['{} x', 'line 1, column 4'], ['', 'line 1, column 1'], ['[1]]', 'line 1, column 4'], ['[}', 'line 1, column 2'],
  ])('of %j is %s', (text, place) => { expect(jsonFaultPlace(text)).toBe(place) })

  it('is nowhere in what the runtime takes, and somewhere in what it refuses', () => {
    fc.assert(fc.property(fc.json(), (text) => jsonFaultAt(text) === null))
    fc.assert(fc.property(fc.json(), fc.nat(), fc.constantFrom('', ',', '}', ']', ':', '"', 'x', '0'), (text, where, put) => {
      const at = where % (text.length + 1)
      const broken = text.slice(0, at) + put + text.slice(at + 1)
      let sound = true
      try { JSON.parse(broken) } catch { sound = false }
      expect(jsonFaultAt(broken) === null).toBe(sound)
    }))
  })
})
