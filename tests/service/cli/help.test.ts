/** Every command of the built command line explains itself when asked, and only itself. */
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'

const cli = fileURLToPath(new URL('../../../out/main/cli.js', import.meta.url))
const ask = (...words: string[]) => spawnSync(process.execPath, [cli, ...words], { encoding: 'utf8', timeout: 60_000 })

const commands = ['check', 'decode', 'diagnose', 'expect', 'hold', 'practice-meter', 'propose', 'recognise', 'verify', 'export', 'backup-key', 'restore-key', 'public-key']

describe('help on the command line', () => {
  // Each costs a start of Node: of the others, one stands for all.
  it.each(['check', 'diagnose', 'practice-meter', 'public-key'])('%s --help prints how it is used, and is no error', (command) => {
    const { status, stdout, stderr } = ask(command, '--help')
    expect([status, stderr]).toEqual([0, ''])
    expect(stdout).toMatch(new RegExp(`^Usage: npm run -s cli --\\n(?:.*\\n)*  ${command} `, 'm'))
    const others = commands.filter((one) => one !== command && !(command.endsWith('-key') && one.endsWith('-key')))
    expect(others.filter((one) => stdout.includes(`\n  ${one} `))).toEqual([])
  })

  it('names every command where no one is asked of', () => {
    const { status, stdout } = ask('--help')
    expect([status, commands.filter((one) => !stdout.includes(`\n  ${one} `))]).toEqual([0, []])
  })
})
