import { ESLint } from 'eslint'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { root } from '../../bench-tools/running-app'

const eslint = new ESLint({ cwd: root })
const complaints = async (file: string, code: string): Promise<string[]> =>
  (await eslint.lintText(code, { filePath: join(root, file) })).flatMap((result) => result.messages.map((message) => message.ruleId ?? message.message))

describe('imports go one way', () => {
  it.each([
    ['core → main', 'src-core/run/state.ts', "import '../../src-main/service/library'"],
    ['core → renderer', 'src-core/run/state.ts', "import '../../src-renderer/main'"],
    ['core → node', 'src-core/run/state.ts', "import 'node:fs'"],
    ['core → fs', 'src-core/run/state.ts', "import 'fs'"],
    ['core → a library', 'src-core/run/state.ts', "import 'react'"],
    ['core → fixtures', 'src-core/run/state.ts', "import '../../fixtures/streams/make-streams'"],
    ['main → renderer', 'src-main/service/library.ts', "import '../../src-renderer/main'"],
    ['main → tests', 'src-main/service/library.ts', "import '../../tests/closing-line'"],
    ['renderer → main', 'src-renderer/main.tsx', "import '../src-main/service/library'"],
    ['renderer → node', 'src-renderer/main.tsx', "import 'node:fs'"],
  ])('%s is refused', async (_arrow, file, code) => {
    expect(await complaints(file, `${code}\n`)).toContain('no-restricted-imports')
  })

  it.each([
    ['a re-export', "export * from 'node:fs'", 'no-restricted-imports'],
    ['a dynamic import', "export const load = () => import('node:fs')", 'no-restricted-syntax'],
    ['a clock', 'export const now = Date.now()', 'no-restricted-syntax'],
    ['today', 'export const now = new Date()', 'no-restricted-syntax'],
    ['chance', 'export const luck = Math.random()', 'no-restricted-syntax'],
  ])('core has no %s', async (_what, code, rule) => {
    expect(await complaints('src-core/run/state.ts', `${code}\n`)).toContain(rule)
  })

  it('right arrows pass', async () => {
    expect(await complaints('src-core/run/state.ts', "import { z } from 'zod'\nimport { meter } from '../meter/instrument'\nexport const both = [z, meter]\n")).toEqual([])
    expect(await complaints('src-main/service/library.ts', "import { meter } from '../../src-core/meter/instrument'\nexport const own = meter\n")).toEqual([])
  })
}, 60_000)
