import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

/** `vitest run` makes a seeded sample of each long check; `vitest run --mode long` the full counts, with the same code and pass marks. */
export default defineConfig(({ mode }) => {
  const long = mode === 'long'
  return {
    // The built main process is loaded against a stand-in, named as what it is: Electron's runtime need not be here.
    resolve: { alias: { electron: fileURLToPath(new URL('tests/desktop/stand-in/electron.ts', import.meta.url)) } },
    test: {
      include: [long ? 'tests/**/*.long.ts' : 'tests/**/*.test.ts'],
      reporters: [long ? 'verbose' : 'default', './tests/closing-line.ts'],
      testTimeout: long ? 3_600_000 : 30_000,
      hookTimeout: 120_000,
      // The long files wait for a technician's pace more than they work: more of them than cores.
      maxWorkers: 5,
      disableConsoleIntercept: long,
    },
  }
})
