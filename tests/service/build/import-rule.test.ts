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
    ['renderer → fs', 'src-renderer/main.tsx', "import 'fs'"],
    ['renderer → serial ports', 'src-renderer/app/state.ts', "import { SerialPort } from 'serialport'\nexport const port = SerialPort"],
    ['renderer → the store', 'src-renderer/app/state.ts', "import '@photostructure/sqlite'"],
    ['renderer → ws', 'src-renderer/connection/connection.ts', "import 'ws'"],
    ['renderer → a file beside the folders', 'src-renderer/app/state.ts', "import '../../package.json'"],
    ['renderer → a package by its path', 'src-renderer/app/state.ts', "import '../../node_modules/ws'"],
    ['core → a package by its path', 'src-core/run/state.ts', "import '../../node_modules/react'"],
    ['core → a file beside the folders', 'src-core/run/state.ts', "import '../../package.json'"],
    ['core, at its top → a file beside the folders', 'src-core/contract.ts', "import '../package.json'"],
    ['core → the folder above', 'src-core/contract.ts', "import '..'"],
    ['core, by a detour', 'src-core/contract.ts', "import './run/../../package.json'"],
    ['core, by another detour', 'src-core/run/state.ts', "import './../../package.json'"],
    ['core → a file of the machine', 'src-core/run/state.ts', "import '/etc/fixed.js'"],
    ['core → the type of a package', 'src-core/run/state.ts', "import type { Stats } from 'fs'\nexport type Own = Stats"],
    ['main, outside the desktop → electron', 'src-main/start/host-choice.ts', "import 'electron'"],
    ['main, outside the desktop → a part of electron', 'src-main/start.ts', "import { app } from 'electron/main'\nexport const own = app"],
    ['the service → the type of electron', 'src-main/service/service.ts', "import type { App } from 'electron'\nexport type Own = App"],
    ['core → electron', 'src-core/desktop-bridge.ts', "import 'electron'"],
    ['renderer → electron', 'src-renderer/connection/ipc-bridge.ts', "import 'electron'"],
    ['the desktop → renderer', 'src-main/desktop/window.ts', "import '../../src-renderer/main'"],
    ['the desktop’s entry → a package by its path', 'src-main/desktop.ts', "import '../node_modules/react'"],
    ['main → a package by its path', 'src-main/service/link/link.ts', "import '../../../node_modules/react'"],
  ])('%s is refused', async (_arrow, file, code) => {
    expect(await complaints(file, `${code}\n`)).toContain('no-restricted-imports')
  })

  it.each([
    ['a re-export', "export * from 'node:fs'", 'no-restricted-imports'],
    ['a dynamic import', "export const load = () => import('node:fs')", 'no-restricted-syntax'],
    ['a clock', 'export const now = Date.now()', 'no-restricted-syntax'],
    ['today', 'export const now = new Date()', 'no-restricted-syntax'],
    ['chance', 'export const luck = Math.random()', 'no-restricted-syntax'],
    ['today by a call', 'export const now = Date()', 'no-restricted-syntax'],
    ['clock in brackets', "export const now = Date['now']()", 'no-restricted-syntax'],
    ['clock by another name', 'const Own = Date\nexport const now = Own.now()', 'no-restricted-syntax'],
    ['clock taken apart', 'const { now } = Date\nexport const at = now()', 'no-restricted-syntax'],
    ['chance taken apart', 'const { random } = Math\nexport const luck = random()', 'no-restricted-syntax'],
    ['clock by the global object', 'export const now = globalThis.Date.now()', 'no-restricted-globals'],
    ['stopwatch', 'export const now = performance.now()', 'no-restricted-globals'],
    ['timer', 'export const later = (what: () => void) => setTimeout(what, 1)', 'no-restricted-globals'],
    ['import type', "export type Own = import('node:fs').Stats", 'no-restricted-syntax'],
    ['require', "export const fs = require('fs')", 'no-restricted-syntax'],
  ])('core has no %s', async (_what, code, rule) => {
    expect(await complaints('src-core/run/state.ts', `${code}\n`)).toContain(rule)
  })

  it.each([
    ['main', 'src-main/service/library.ts', './tasks/seal'], ['the worker, of what is no work of its own', 'src-main/service/worker.ts', './tasks/../../../src-renderer/main'],
    ['the worker, of a package', 'src-main/service/worker.ts', 'serialport'],
  ])('%s imports nothing late', async (_who, file, from) => {
    expect(await complaints(file, `export const load = () => import('${from}')\n`)).toEqual(['no-restricted-syntax'])
  })

  it.each([
    ['src-main/service/worker.ts', "export const load = () => import('./tasks/seal')\n"],
    ['src-core/run/state.ts', "import { z } from 'zod'\nimport { meter } from '../meter/instrument'\nexport const both = [z, meter]\n"],
    ['src-core/contract.ts', "import { meter } from './meter/instrument'\nexport const own = meter\n"],
    ['src-core/run/state.ts', "export const day = (ms: number): string => new Date(ms).toISOString()\nexport const ms = Math.round(Date.parse('2026-01-01'))\n"],
    ['src-main/service/library.ts', "import { readFileSync } from 'node:fs'\nimport { meter } from '../../src-core/meter/instrument'\nexport const own = [meter, readFileSync, Date.now()]\n"],
    ['src-main/service/link/link.ts', "import { meter } from '../../../src-core/meter/instrument'\nexport const own = meter\n"],
    ['src-main/desktop.ts', "import { app } from 'electron'\nimport { meter } from '../src-core/meter/instrument'\nexport const own = [app, meter]\n"],
    ['src-main/preload.ts', "import { ipcRenderer } from 'electron'\nexport const own = ipcRenderer\n"],
    ['src-main/desktop/window.ts', "import { app } from 'electron'\nimport { meter } from '../../src-core/meter/instrument'\nimport { createDispatcher } from '../service/dispatcher'\nexport const own = [app, meter, createDispatcher]\n"],
    ['src-renderer/main.tsx', "import { createRoot } from 'react-dom/client'\nimport { meter } from '../src-core/meter/instrument'\nexport const own = [createRoot, meter]\n"],
    ['src-renderer/app/state.ts', "import { useState } from 'react'\nimport { meter } from '../../src-core/meter/instrument'\nexport const own = [useState, meter]\n"],
  ])('right arrows of %s pass', async (file, code) => {
    expect(await complaints(file, code)).toEqual([])
  })
})

describe('the rules of the house', () => {
  it.each(['src-core/run/state.ts', 'src-main/service/library.ts', 'src-renderer/app/state.ts'])('%s: no non-null assertion', async (file) => {
    expect(await complaints(file, 'export const first = (all: number[]): number => all[0]!\n')).toContain('@typescript-eslint/no-non-null-assertion')
  })

  it('300 lines are a file, 301 are too long, blank ones and comments counted', async () => {
    const lines = (count: number): string => `export const one = 1\n${'\n'.repeat(count - 2)}// the last line\n`
    expect(await complaints('src-main/service/library.ts', lines(300))).toEqual([])
    expect(await complaints('src-main/service/library.ts', lines(301))).toEqual(['max-lines'])
  })
})
