/** Names a linked meter once: what its name already says of description and path is not said again. */

/** "Line meter A on /dev/ttyUSB0", or "Bench 2, Line meter A at /dev/ttyUSB0". */
export const saidOnce = (name: string | null, description: string | null, path: string | null): { name: string | null; about: string } => {
  const said = (words: string): boolean => name !== null && name.includes(words)
  const what = description === null || said(description) ? '' : description
  const where = path === null || said(path) ? '' : `at ${path}`
  return { name, about: [what, where].filter((each) => each !== '').join(' ') }
}
