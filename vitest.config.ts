import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'
import { sampled } from './tests/bench-tools/sampled'

/** Folders whose tests touch nothing outside themselves: they share a thread's modules, which saves loading them for every file. */
const pureFolders = ['core', 'published', 'renderer']

/** Files whose cases `npm test` samples; `npm run test:long` takes all of them. */
const sampledFiles = ['tests/service/practice/whole-run.test.ts', 'tests/e2e/teach.test.ts', 'tests/e2e/colour-blind.test.ts', 'tests/core/circuit/shortest-way.test.ts']

/** Whole walks in a browser or by hand that go over ground which other daily tests cover too: two of them a day, by seed, and all in the long run. */
const longWalks = [
  'tests/e2e/zoomed.test.ts', 'tests/e2e/pedal-answers.test.ts', 'tests/e2e/practice-by-hand.test.ts', 'tests/e2e/keyboard-practice.test.ts', 'tests/e2e/which-revision.test.ts',
  'tests/e2e/typed-values.test.ts', 'tests/e2e/restored-key.test.ts', 'tests/e2e/late-answers.test.ts',
  'tests/service/practice/by-hand.test.ts', 'tests/e2e/register.test.ts', 'tests/desktop/page.test.ts',
]
const today = sampled(longWalks, 2)

/** `vitest run` makes a seeded sample of each long check; `vitest run --mode long` the full counts, with the same code and pass marks. */
export default defineConfig(({ mode }) => {
  const long = mode === 'long'
  const ending = long ? 'long' : 'test'
  const pure = pureFolders.map((folder) => `tests/${folder}/**/*.${ending}.ts`)
  const timeouts = { testTimeout: long ? 3_600_000 : 30_000, hookTimeout: 120_000 }
  return {
    test: {
      reporters: [long ? 'verbose' : 'default', './tests/closing-line.ts'],
      // The files of the app wait for a technician's pace more than they work: more of them than cores.
      maxWorkers: 5,
      disableConsoleIntercept: long,
      projects: [
        { test: { ...timeouts, name: 'pure', include: pure, isolate: false, env: { WRITE_SCHEMAS: mode === 'schemas' ? 'yes' : 'no' } } },
        {
          // The built main process is loaded against a stand-in, named as what it is: Electron's runtime need not be here.
          resolve: { alias: { electron: fileURLToPath(new URL('tests/desktop/stand-in/electron.ts', import.meta.url)) } },
          // Real ports, browsers and seconds: on a busy machine one may come late once, and is tried once more.
          test: { ...timeouts, name: 'app', retry: long ? 0 : 1, include: [`tests/**/*.${ending}.ts`, ...(long ? [...sampledFiles, ...longWalks] : [])], exclude: [...pure, ...(long ? [] : longWalks.filter((walk) => !today.includes(walk)))], env: { LONG: long ? 'yes' : 'no' } },
        },
      ],
    },
  }
})
