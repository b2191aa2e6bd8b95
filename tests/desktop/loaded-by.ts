/** Follows the built bundles' imports. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { root } from '../bench-tools/running-app'

/** Every module a built entry loads, its chunks followed; packages by name. */
export const loadedBy = (entry: string, folder = join(root, 'out/main')): Set<string> => {
  const found = new Set<string>()
  const due = [`./${entry}`]
  for (let file = due.pop(); file !== undefined; file = due.pop()) {
    if (found.has(file)) continue
    found.add(file)
    if (!file.startsWith('./')) continue
    const imports = readFileSync(join(folder, file), 'utf8').matchAll(/(?:^|[\s;}])(?:import|from)\s*\(?["']([\w@./:-]+)["']/g)
    for (const [, from = ''] of imports) due.push(from)
  }
  return found
}
