/** Python's csv module, strict, as the reader of RFC 4180 that is not ours; python3 is part of Debian. */
import { spawnSync } from 'node:child_process'

export const pythonIsHere = spawnSync('python3', ['--version']).status === 0

/** @throws Error where that reader refuses the text. */
export const readByPython = (text: string): string[][] => {
  const script = 'import csv,io,json,sys; text=sys.stdin.buffer.read().decode("utf-8"); print(json.dumps(list(csv.reader(io.StringIO(text, newline=""), strict=True))))'
  const ended = spawnSync('python3', ['-c', script], { input: text, encoding: 'utf8', maxBuffer: 64 * 1024 * 1024 })
  if (ended.status !== 0) throw new Error(ended.stderr)
  return JSON.parse(ended.stdout) as string[][]
}
