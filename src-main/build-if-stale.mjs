// Builds the app when a source is newer than the build, so that `npm start` and `npm test` never run old code.
import { spawnSync } from 'node:child_process'
import { readdirSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
const stamp = join(root, 'out', 'built')
const sources = ['src-core', 'src-main', 'src-renderer', 'tests/perf', 'tests/e2e/pictures.ts', 'tests/bench-tools', 'fixtures/boards', 'fixtures/meters', 'fixtures/touches', 'package-lock.json', 'electron.vite.config.ts']

const newestIn = (path) => {
  const found = statSync(path)
  if (!found.isDirectory()) return found.mtimeMs
  return readdirSync(path).reduce((newest, entry) => Math.max(newest, newestIn(join(path, entry))), found.mtimeMs)
}

const builtAt = () => {
  try { return statSync(stamp).mtimeMs } catch { return 0 }
}

const begun = new Date()
if (Math.max(...sources.map((source) => newestIn(join(root, source)))) > builtAt()) {
  process.stderr.write('Building Probewright …\n')
  const build = spawnSync(process.execPath, [join(root, 'node_modules', 'electron-vite', 'bin', 'electron-vite.js'), 'build', '--logLevel', 'warn'],
    { cwd: root, stdio: ['ignore', 'pipe', 'pipe'], encoding: 'utf8' })
  if (build.status !== 0) {
    process.stderr.write(`${build.stdout}${build.stderr}\nThe build failed; what is above says where. Nothing was started.\n`)
    process.exit(1)
  }
  writeFileSync(stamp, '')
  utimesSync(stamp, begun, begun)
}
