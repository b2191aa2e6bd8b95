import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'
import { sampled } from './tests/bench-tools/sampled'

/** Folders whose tests touch nothing outside themselves: they share a thread's modules, which saves loading them for every file. */
const pureFolders = ['core', 'published', 'renderer']

/** Files whose cases `npm test` samples; `npm run test:long` takes all of them. */
const sampledFiles = [
  'tests/service/practice/whole-run.test.ts', 'tests/e2e/teach.test.ts', 'tests/e2e/colour-blind.test.ts', 'tests/e2e/accessible.test.ts', 'tests/core/circuit/shortest-way.test.ts',
  'tests/core/circuit/dictionary.test.ts', 'tests/core/circuit/read.test.ts', 'tests/core/circuit/shipped-boards.test.ts', 'tests/core/capture/properties.test.ts',
  'tests/core/run/state.test.ts', 'tests/published/canonical-json.test.ts',
  'tests/e2e/learnt-and-jobs.test.ts', 'tests/e2e/repair.test.ts', 'tests/e2e/whole-job.test.ts', 'tests/e2e/whole-run.test.ts', 'tests/e2e/measure-elsewhere.test.ts',
]

/** Whole walks in a browser or by hand that go over ground which other daily tests cover too: two of them a day, by seed, and all in the long run. */
const longWalks = [
  'tests/e2e/zoomed.test.ts', 'tests/e2e/pedal-answers.test.ts', 'tests/e2e/practice-run.test.ts', 'tests/e2e/practice-by-hand.test.ts', 'tests/e2e/keyboard-practice.test.ts', 'tests/e2e/which-revision.test.ts',
  'tests/e2e/typed-values.test.ts', 'tests/e2e/beside.test.ts', 'tests/e2e/walk-and-watch.test.ts', 'tests/e2e/restored-key.test.ts', 'tests/e2e/late-answers.test.ts',
  'tests/service/practice/by-hand.test.ts', 'tests/e2e/register.test.ts', 'tests/desktop/page.test.ts',
]
const today = sampled(longWalks, 2)

/** What listens to a line in real time, where half a second late is another message: by itself, when the rest is done and the cores are free. */
const lineFolders = ['service/link', 'service/recognise']
const lineFiles = ['tests/e2e/live-reading.test.ts']
/** Pulls its cable, which among others was seen not to be noticed in time: in a process of its own, last of all. */
const aloneFiles = ['tests/service/teaching.test.ts']

/** `vitest run` makes a seeded sample of each long check; `vitest run --mode long` the full counts, with the same code and pass marks. */
export default defineConfig(({ mode }) => {
  const long = mode === 'long'
  const ending = long ? 'long' : 'test'
  const pure = pureFolders.map((folder) => `tests/${folder}/**/*.${ending}.ts`)
  // A bound for what hangs, not for what is slow: a machine may be busy with other things.
  const timeouts = { testTimeout: long ? 3_600_000 : 240_000, hookTimeout: 120_000, expect: { poll: { timeout: 20_000 } } }
  // Real ports, browsers and seconds: on a busy machine one may come late once, and is tried once more.
  const real = { ...timeouts, retry: long ? 0 : 1, env: { LONG: long ? 'yes' : 'no' } }
  const lines = [...lineFolders.map((folder) => `tests/${folder}/**/*.${ending}.ts`), ...(long ? [] : lineFiles)]
  const inDesktop = (file: string): boolean => file.startsWith('tests/desktop/')
  const also = long ? [...sampledFiles, ...longWalks] : []
  const leftOut = long ? [] : longWalks.filter((walk) => !today.includes(walk))
  return {
    test: {
      reporters: [long ? 'verbose' : 'default', './tests/closing-line.ts'],
      // The files of the app wait for a technician's pace more than they work: more of them than cores.
      maxWorkers: 5,
      disableConsoleIntercept: long,
      projects: [
        { test: { ...timeouts, name: 'pure', include: pure, isolate: false, env: { WRITE_SCHEMAS: mode === 'schemas' ? 'yes' : 'no' } } },
        { test: { ...real, name: 'app', include: [`tests/**/*.${ending}.ts`, ...also.filter((file) => !inDesktop(file))], exclude: [...pure, ...lines, ...aloneFiles, 'tests/desktop/**', ...leftOut], isolate: false } },
        { test: { ...real, name: 'lines', include: lines, isolate: false, sequence: { groupOrder: 1 } } },
        ...(long ? [] : [{ test: { ...real, name: 'alone', include: aloneFiles, sequence: { groupOrder: 2 } } }]),
        {
          // The built main process is loaded against a stand-in, named as what it is: Electron's runtime need not be here. Each file loads it anew.
          resolve: { alias: { electron: fileURLToPath(new URL('tests/desktop/stand-in/electron.ts', import.meta.url)) } },
          test: { ...real, name: 'desktop', include: [`tests/desktop/**/*.${ending}.ts`, ...also.filter(inDesktop)], exclude: leftOut },
        },
      ],
    },
  }
})
