// Builds the app when anything it is made of is not as it was at the last build, so that `npm start` and `npm test` never run old code.
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readFileSync, readdirSync, realpathSync, statSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
const stamp = join(root, 'out', 'built')

/** All that ends up in the bundles, and what decides how; pictures are read as they lie, or not at all. */
export const sources = [
  'src-core', 'src-main', 'src-renderer', 'tests/perf', 'tests/core/touches', 'tests/core/circuit/score', 'tests/bench-tools', 'tests/e2e/pictures.ts', 'tests/e2e/icon-picture.ts',
  'fixtures/boards', 'fixtures/meters', 'fixtures/streams', 'fixtures/touches', 'package.json', 'package-lock.json', 'electron.vite.config.ts', 'tsconfig.json', 'tsconfig.core.json',
]

const filesIn = (path) => {
  if (!existsSync(join(root, path))) return []
  if (!statSync(join(root, path)).isDirectory()) return [path]
  return readdirSync(join(root, path)).sort().flatMap((entry) => filesIn(`${path}/${entry}`))
}

/** Names and contents: a file renamed, deleted or put back older than the build is a change; one merely touched is none. */
const fingerprint = () => {
  const hash = createHash('sha256')
  for (const file of sources.flatMap(filesIn)) {
    const body = readFileSync(join(root, file))
    hash.update(`${file}\0${body.length}\0`).update(body)
  }
  return hash.digest('hex')
}

const built = () => (existsSync(stamp) ? readFileSync(stamp, 'utf8').trim() : '')

const buildIfStale = () => {
  const now = fingerprint()
  if (now === built()) return
  process.stderr.write('Building Probewright …\n')
  const build = spawnSync(process.execPath, [join(root, 'node_modules', 'electron-vite', 'bin', 'electron-vite.js'), 'build', '--logLevel', 'warn'],
    { cwd: root, stdio: ['ignore', 'pipe', 'pipe'], encoding: 'utf8' })
  if (build.status !== 0) {
    process.stderr.write(`${build.stdout}${build.stderr}\nThe build failed; what is above says where. Nothing was started.\n`)
    process.exit(1)
  }
  mkdirSync(dirname(stamp), { recursive: true })
  writeFileSync(stamp, `${now}\n`)
}

if (process.argv[1] !== undefined && realpathSync(process.argv[1]) === fileURLToPath(import.meta.url)) buildIfStale()
