import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { Ajv } from 'ajv'
import { describe, expect, it } from 'vitest'
import { checkDescription } from '../../src-core/meter/check'
import { fileSchemas } from '../../src-core/file-schemas'

const fixture = (path: string): URL => new URL(`../../fixtures/${path}`, import.meta.url)
const textOf = (schema: unknown): string => `${JSON.stringify(schema, null, 2)}\n`
const json = (path: string): unknown => JSON.parse(readFileSync(fixture(path), 'utf8'))
type Description = Record<string, unknown> & { port: object; framing: { fields: { value: object } } }

describe.each(fileSchemas())('the JSON Schema of $name', ({ name, schema }) => {
  const file = fixture(`schemas/${name}.json`)
  // `npm run schemas` writes the files anew.
  if (process.env.WRITE_SCHEMAS === 'yes') {
    if (!existsSync(fixture('schemas'))) mkdirSync(fixture('schemas'))
    writeFileSync(file, textOf(schema))
  }
  it('is what lies in fixtures/schemas; if not, run npm run schemas', () => expect(readFileSync(file, 'utf8')).toBe(textOf(schema)))
})

/** Ajv is a validator of JSON Schema that has nothing to do with zod. */
const validator = (name: string) => new Ajv({ allErrors: true, strict: false }).compile(json(`schemas/${name}.json`) as object)
const meters = readdirSync(fixture('meters')).filter((name) => name.endsWith('.json'))

describe('an editor with the schema', () => {
  const valid = validator('meter-description')

  it.each(meters)('finds nothing wrong with %s, which names it', (name) => {
    const description = json(`meters/${name}`) as { $schema?: string }
    expect(valid(description)).toBe(true)
    expect(new URL(description.$schema ?? '', fixture(`meters/${name}`)).href).toBe(fixture('schemas/meter-description.json').href)
  })

  const packed = (): Description => json('meters/packed-meter-c.json') as Description
  const spoilt: [string, unknown][] = [
    ['an unknown key', { ...packed(), nmae: 'x' }],
    ['a speed in words', { ...packed(), port: { ...packed().port, baud: 'fast' } }],
    ['an unknown framing', { ...packed(), framing: { ...packed().framing, kind: 'drums' } }],
    ['a bit that is none', { ...packed(), framing: { ...packed().framing, fixed: { 7.8: 1 } } }],
    ['a digit without its nibble', { ...packed(), framing: { ...packed().framing, fields: { ...packed().framing.fields, value: { kind: 'bcd', digits: [{ byte: 1 }] } } } }],
    ['no functions', { ...packed(), functions: undefined }],
  ]
  it.each(spoilt)('marks %s, as the app does', (_what, description) => {
    const plain: unknown = JSON.parse(JSON.stringify(description))
    expect(valid(plain)).toBe(false)
    expect(checkDescription(plain, 'mine.json', () => 0)).toHaveProperty('problems')
  })

  it('finds nothing wrong with the sample boards', () => {
    const board = validator('board-type')
    for (const name of ['boards', 'more-boards'].flatMap((home) => readdirSync(fixture(home)).map((folder) => `${home}/${folder}`))) {
      board(json(`${name}/board.json`))
      expect(board.errors).toBeNull()
    }
  })
})
