import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { checkBoard } from '../../src-core/board/check'
import { lineDecoder } from '../../src-core/meter/decode-line'
import { checkDescription } from '../../src-core/meter/check'
import { seconds } from '../../src-core/quantity/units'
import { root } from '../bench-tools/running-app'

const blocks = [...readFileSync(join(root, 'README.md'), 'utf8').matchAll(/```json\n([\s\S]*?)```/g)].map((match) => JSON.parse(match[1] ?? '') as { schema: string })
const block = (schema: string) => blocks.find((each) => each.schema.startsWith(schema))

describe('the README’s files work as they stand', () => {
  it('the meter description reads the line it is said to read', () => {
    const checked = checkDescription(block('probewright/meter-description'), 'README.md', () => performance.now())
    if ('problems' in checked) throw new Error(JSON.stringify(checked.problems))
    expect(lineDecoder(checked.description)('R   221.4 O A', seconds(1))).toMatchObject({ function: 'resistance', value: 221.4, unit: 'Ω', resolution: 0.1, flags: ['auto-range'] })
  })

  it('the three-part board is sound', () => {
    expect(checkBoard(block('probewright/board-type'), 'README.md')).toHaveProperty('board')
  })
})
