/** For tests that change every field of a record. */

/** Every place of a JSON value, by its path, with the value there changed a little, and with each of `others` in its place. */
export const changedEverywhere = function* (value: unknown, path = '', others: readonly unknown[] = []): Generator<{ path: string; value: unknown }> {
  for (const other of others) yield { path, value: other }
  if (Array.isArray(value)) {
    for (const [index, each] of value.entries()) {
      for (const inner of changedEverywhere(each, `${path}[${index}]`, others)) yield { path: inner.path, value: value.map((old: unknown, at) => (at === index ? inner.value : old)) }
    }
    yield { path: `${path}[+]`, value: [...value, value[0] ?? 'one more'] }
    if (value.length > 0) yield { path: `${path}[-]`, value: value.slice(1) }
    return
  }
  if (typeof value === 'object' && value !== null) {
    for (const [key, each] of Object.entries(value)) {
      for (const inner of changedEverywhere(each, `${path}.${key}`, others)) yield { path: inner.path, value: { ...value, [key]: inner.value } }
      yield { path: `${path}.${key} gone`, value: Object.fromEntries(Object.entries(value).filter(([other]) => other !== key)) }
    }
    yield { path: `${path}.more`, value: { ...value, more: 1 } }
    return
  }
  if (typeof value === 'number') yield { path, value: value + 1 }
  else if (typeof value === 'boolean') yield { path, value: !value }
  else if (typeof value === 'string') yield { path, value: value === '' ? ' ' : `${value.slice(0, -1)}${value.endsWith('0') ? '1' : '0'}` }
  else yield { path, value: 'something' }
}
