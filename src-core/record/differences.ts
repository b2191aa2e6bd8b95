/** Where two JSON values differ, field by field, in words. */

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null && !Array.isArray(value)

const longestShown = 60
const shown = (value: unknown): string => {
  const text = JSON.stringify(value) ?? 'nothing'
  return text.length > longestShown ? `${text.slice(0, longestShown)}…` : text
}

const named = (path: string, key: string): string => (path === '' ? key : `${path}.${key}`)
/** Lists that grow are told by what was added or is gone, not by what moved. */
const most = 20

const walk = (as: unknown, is: unknown, path: string): string[] => {
  if (Object.is(as, is)) return []
  if (Array.isArray(as) && Array.isArray(is)) {
    const length = as.length === is.length ? [] : [`${path}: ${is.length} entries here, ${as.length} as issued.`]
    return [...length, ...as.slice(0, is.length).flatMap((each, index) => walk(each, is[index], `${path}[${index}]`))]
  }
  if (isObject(as) && isObject(is)) {
    return [...new Set([...Object.keys(as), ...Object.keys(is)])].flatMap((key) => walk(
      Object.hasOwn(as, key) ? as[key] : undefined, Object.hasOwn(is, key) ? is[key] : undefined, named(path, key)))
  }
  return [`${path === '' ? '(whole file)' : path}: ${shown(is)} here, ${shown(as)} as issued.`]
}

/** @param as what it should be. @param is what it is. Empty where they are the same. */
export const differences = (as: unknown, is: unknown): string[] => {
  const found = walk(as, is, '')
  return found.length > most ? [...found.slice(0, most), `And ${found.length - most} more.`] : found
}
