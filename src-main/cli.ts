/** The command line: `npm run -s cli -- COMMAND …`. Each command is a file in cli/. */
import { fileURLToPath } from 'node:url'
import { checkCommand, checkUsage } from './cli/check'
import { decodeCommand, decodeUsage } from './cli/decode'
import { diagnoseCommand, diagnoseUsage } from './cli/diagnose'
import { expectCommand, expectUsage } from './cli/expect'
import { exportCommand, exportUsage } from './cli/export'
import { holdCommand, holdUsage } from './cli/hold'
import { backupKeyCommand, keysUsage, publicKeyCommand, restoreKeyCommand } from './cli/keys'
import { practiceMeterCommand, practiceMeterUsage } from './cli/practice-meter'
import { proposeCommand, proposeUsage } from './cli/propose'
import { recogniseCommand, recogniseUsage } from './cli/recognise'
import { Refused, type Surroundings } from './cli/surroundings'
import { verifyCommand, verifyUsage } from './cli/verify'

const surroundings: Surroundings = {
  builtInFolder: fileURLToPath(new URL('../../fixtures', import.meta.url)),
  // npm runs this in the project's folder; a path on the command line is meant from where npm was called.
  calledFrom: process.env.INIT_CWD ?? process.cwd(),
  input: process.stdin,
  print: (line) => { process.stdout.write(`${line}\n`) },
  complain: (line) => { process.stderr.write(`${line}\n`) },
}

const usage = ['Usage: npm run -s cli -- COMMAND', '', ...checkUsage, '', ...decodeUsage, '', ...diagnoseUsage, '', ...expectUsage, '', ...holdUsage, '', ...practiceMeterUsage, '', ...proposeUsage, '', ...recogniseUsage, '', ...verifyUsage, '', ...exportUsage, '', ...keysUsage].join('\n')

const usageOf: Readonly<Record<string, readonly string[]>> = {
  check: checkUsage, decode: decodeUsage, 'practice-meter': practiceMeterUsage, propose: proposeUsage, recognise: recogniseUsage, diagnose: diagnoseUsage, expect: expectUsage, hold: holdUsage,
  export: exportUsage, verify: verifyUsage, 'backup-key': keysUsage, 'restore-key': keysUsage, 'public-key': keysUsage,
}

const run = async ([command, ...rest]: string[]): Promise<number> => {
  const own = command === undefined || !Object.hasOwn(usageOf, command) ? undefined : usageOf[command]
  if (own !== undefined && rest.some((word) => word === '--help' || word === '-h')) {
    surroundings.print(['Usage: npm run -s cli --', ...own].join('\n'))
    return 0
  }
  switch (command) {
    case 'check': return checkCommand(rest, surroundings)
    case 'decode': return decodeCommand(rest, surroundings)
    case 'practice-meter': return practiceMeterCommand(rest, surroundings)
    case 'propose': return proposeCommand(rest, surroundings)
    case 'recognise': return recogniseCommand(rest, surroundings)
    case 'diagnose': return diagnoseCommand(rest, surroundings)
    case 'expect': return expectCommand(rest, surroundings)
    case 'hold': return holdCommand(rest, surroundings)
    case 'export': return exportCommand(rest, surroundings)
    case 'verify': return verifyCommand(rest, surroundings)
    case 'backup-key': return backupKeyCommand(rest, surroundings)
    case 'restore-key': return restoreKeyCommand(rest, surroundings)
    case 'public-key': return publicKeyCommand(rest, surroundings)
    case undefined:
    case 'help':
    case '--help':
    case '-h':
      surroundings.print(usage)
      return command === undefined ? 2 : 0
    default:
      surroundings.complain(`There is no command "${command}".\n\n${usage}`)
      return 2
  }
}

// Who reads the lines may have seen enough of them, as `head` has.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error
  process.exit(0)
})

try {
  process.exitCode = await run(process.argv.slice(2))
} catch (error) {
  surroundings.complain(error instanceof Refused ? error.message
    : `This went wrong: ${error instanceof Error ? error.stack ?? error.message : String(error)}`)
  // EX_SOFTWARE of sysexits.h (from memory): no judgement of any command has this code.
  process.exitCode = error instanceof Refused ? 2 : 70
}
