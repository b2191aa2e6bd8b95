// Fetches what the tests drive (Chromium, socat) and ask for a second opinion (qpdf, poppler, zbar) where it can: as root on Debian, with apt. Says plainly what is missing elsewhere.
import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'

const tools = [
  { name: 'socat', package: 'socat', found: () => spawnSync('socat', ['-V'], { stdio: 'ignore' }).status === 0, without: 'the tests over a pseudo-terminal are skipped' },
  { name: 'chromium', package: 'chromium', found: () => existsSync('/usr/bin/chromium'), without: 'the tests in a browser are skipped' },
  { name: 'chromium-headless-shell', package: 'chromium-headless-shell', found: () => existsSync('/usr/bin/chromium-headless-shell'), without: 'the tests in a browser take the whole of Chromium, and longer' },
  { name: 'qpdf', package: 'qpdf', found: () => spawnSync('qpdf', ['--version'], { stdio: 'ignore' }).status === 0, without: 'no other program looks over the structure of a PDF' },
  { name: 'pdftotext', package: 'poppler-utils', found: () => spawnSync('pdftotext', ['-v'], { stdio: 'ignore' }).status === 0, without: 'no other program reads the text of a PDF' },
  { name: 'zbarimg', package: 'zbar-tools', found: () => spawnSync('zbarimg', ['--version'], { stdio: 'ignore' }).status === 0, without: 'no other program reads the QR code of a record' },
]
const missing = tools.filter((tool) => !tool.found())
const canInstall = process.platform === 'linux' && process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')

if (missing.length > 0 && canInstall) {
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' }
  const names = missing.map((tool) => tool.package)
  process.stdout.write(`Fetching ${names.join(', ')} for the tests (apt-get) …\n`)
  spawnSync('apt-get', ['update', '-qq'], { stdio: ['ignore', 'ignore', 'inherit'], env })
  spawnSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...names, 'fonts-dejavu-core'], { stdio: ['ignore', 'ignore', 'inherit'], env })
}
for (const tool of missing) {
  if (!tool.found()) process.stdout.write(`Skipped: ${tool.name} is not on this machine, so ${tool.without}. Install it (Debian: apt-get install ${tool.package}) to run them.\n`)
}
