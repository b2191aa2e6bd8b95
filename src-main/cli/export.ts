/** `export FILE`: the PDF or the table of records that were exported as JSON, byte for byte as the app makes them. */
import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { z } from 'zod'
import { paperName } from '../../src-core/record/commands'
import { attachedRecord } from '../service/record/attached-record'
import { NotPrinted, printRecords, type PrintWish } from '../service/record/print-records'
import { usualDataFolder } from '../start/data-folder'
import { Refused, type Surroundings } from './surroundings'

export const exportUsage = [
  '  export FILE --out FILE.pdf|FILE.csv|FILE.json [--paper a4|letter] [--budgets] [--picture FILE] [--data FOLDER]',
  '      Makes a PDF or a table (CSV) of records that were exported as JSON, the same bytes as the app makes; of a PDF, the JSON inside.',
  '      --budgets       prints the uncertainty budget of each value in a PDF.',
  '      --picture FILE  the board’s picture; may stand several times. Else it is looked for in the data folder and among the sample boards.',
  '      A picture that is not the one the record names is not taken; without it the PDF shows the outline with the test points.',
]

const as = z.enum(['pdf', 'csv', 'json'])

type Asked = { file: string; out: string; as: z.infer<typeof as>; wish: Omit<PrintWish, 'text' | 'as'> }

const readArgs = (args: readonly string[], { calledFrom, builtInFolder }: Surroundings): Asked => {
  try {
    const { values, positionals: [file, ...more] } = parseArgs({
      args: [...args], allowPositionals: true,
      options: { out: { type: 'string' }, paper: { type: 'string' }, budgets: { type: 'boolean' }, picture: { type: 'string', multiple: true }, data: { type: 'string' } },
    })
    if (file === undefined || more.length > 0) throw new Error('export needs one file.')
    if (values.out === undefined) throw new Error('export needs --out, the file to write.')
    const kind = as.safeParse(values.out.toLowerCase().split('.').at(-1))
    if (!kind.success) throw new Error(`--out ${values.out} must end with .pdf, .csv or .json: that says what is made.`)
    const paper = paperName.safeParse(values.paper ?? 'a4')
    if (!paper.success) throw new Error(`--paper must be a4 or letter, not ${values.paper}.`)
    const missing = values.picture?.find((each) => !existsSync(resolve(calledFrom, each)))
    if (missing !== undefined) throw new Error(`There is no picture ${missing}. Correct the name or the folder.`)
    const data = values.data === undefined ? usualDataFolder() : resolve(calledFrom, values.data)
    return {
      file, out: values.out, as: kind.data,
      wish: { paper: paper.data, budgets: values.budgets ?? false, picturesIn: [...(values.picture ?? []).map((each) => resolve(calledFrom, each)), join(data, 'pictures'), join(builtInFolder, 'boards')] },
    }
  } catch (error) {
    throw new Refused(`${error instanceof Error ? error.message : String(error)}\n${exportUsage.join('\n')}`)
  }
}

const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true })

/** @throws Refused where there is no such file, or no text in it. */
const textOf = async (path: string, named: string): Promise<string> => {
  if (!existsSync(path) || !statSync(path).isFile()) throw new Refused(`There is no file ${named}. Correct the name or the folder.`)
  const bytes = readFileSync(path)
  try {
    return decoder.decode(await attachedRecord(bytes) ?? bytes)
  } catch (error) {
    throw new Refused(error instanceof TypeError ? `${named} holds bytes that are no UTF-8: it is no record.` : `${named}: ${error instanceof Error ? error.message : String(error)}`)
  }
}

/** 0: written; 1: the record cannot be printed, and nothing was written. */
export const exportCommand = async (args: readonly string[], surroundings: Surroundings): Promise<number> => {
  const { calledFrom, print, complain } = surroundings
  const { file, out, as: kind, wish } = readArgs(args, surroundings)
  const text = await textOf(resolve(calledFrom, file), file)
  let bytes: Buffer
  try {
    // A record that was changed is refused whatever is made of it.
    bytes = kind === 'json' ? await printRecords({ ...wish, text, as: 'csv' }).then(() => Buffer.from(text, 'utf8')) : await printRecords({ ...wish, text, as: kind })
  } catch (error) {
    if (!(error instanceof NotPrinted)) throw error
    complain(`${file}: ${error.message}`)
    return 1
  }
  try {
    writeFileSync(resolve(calledFrom, out), bytes)
  } catch (error) {
    throw new Refused(`${out} cannot be written (${error instanceof Error ? error.message : String(error)}). Choose another file.`)
  }
  print(`${out}: ${bytes.length} bytes`)
  return 0
}
