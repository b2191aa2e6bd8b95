/** Checks the parts of a board file: pins and values that fit the kind, parameters that mean something, nets that have a part. */
import type { BoardType } from './board-type'
import type { Part, PartKind, PartParameters } from './part'
import { kindInWords, pinsMisfit, placesOf } from './part-places'
import type { FieldProblem } from './shape-problems'

export const notIn = (nets: readonly string[], field: string, net: string): FieldProblem[] =>
  (nets.includes(net) ? [] : [{ field, message: `"${net}" is not in nets; add it there or correct the name` }])

const valued: readonly PartKind[] = ['resistor', 'ntc', 'ptc', 'capacitor', 'two-way-protector', 'zener', 'tvs', 'varistor']

type Parameter = keyof PartParameters
const forward: readonly Parameter[] = ['saturationAmperes', 'ideality', 'seriesOhms', 'leakageOhms', 'junctionSpread']
const withBreakdown: readonly Parameter[] = [...forward, 'breakdownSlopeVolts']
const breakdownOnly: readonly Parameter[] = ['seriesOhms', 'leakageOhms', 'breakdownSlopeVolts']

const meaningful: Partial<Record<PartKind, readonly Parameter[]>> = {
  ntc: ['betaKelvin'], ptc: ['perKelvin', 'perKelvinSquared', 'referenceCelsius'],
  choke: ['pinOhms'], transformer: ['pinOhms'], capacitor: ['leakageOhms'],
  diode: forward, rectifier: forward, schottky: forward, led: forward, bridge: forward, optocoupler: forward,
  npn: forward, pnp: forward, 'n-mosfet': forward, 'p-mosfet': forward,
  zener: withBreakdown, tvs: withBreakdown,
  'two-way-protector': breakdownOnly, varistor: breakdownOnly, 'thyristor-protector': breakdownOnly, 'gas-tube': ['leakageOhms'],
  ic: ['pinOhms', 'clamps', 'saturationAmperes', 'ideality', 'seriesOhms', 'junctionSpread'],
}

const parametersOf = (part: Part, field: string): FieldProblem[] => {
  const has = meaningful[part.kind] ?? []
  const idle = Object.keys(part.parameters ?? {}).filter((name) => !has.some((each) => each === name))
  const places = placesOf(part).map(({ place }) => place)
  const strays = Object.keys(part.parameters?.pinOhms ?? {}).filter((pin) => !places.includes(pin))
  return [
    ...idle.map((name) => ({ field: `${field}.${name}`,
      message: `means nothing for ${part.ref}, ${kindInWords(part.kind)}; remove it${has.length === 0 ? '' : `, or choose from ${has.join(', ')}`}` })),
    ...(idle.includes('pinOhms') ? [] : strays.map((pin) => ({ field: `${field}.pinOhms.${pin}`,
      message: `"${pin}" is no ${part.kind === 'ic' ? 'input' : 'first pin of a winding'} of ${part.ref}; choose from ${places.join(', ')}` }))),
  ]
}

const partOf = (board: BoardType, part: Part, at: number): FieldProblem[] => {
  const field = (key: string): string => `parts[${at}].${key}`
  const misfit = pinsMisfit(part)
  return [
    ...Object.entries(part.pins).flatMap(([pin, net]) => notIn(board.nets, field(`pins.${pin}`), net)
      .map((found) => ({ ...found, message: `${found.message} (pin ${pin} of ${part.ref})` }))),
    ...(valued.includes(part.kind) && part.value === undefined
      ? [{ field: field('value'), message: `${part.ref} is ${kindInWords(part.kind)}; write its value in SI units` }] : []),
    ...(misfit === null ? [] : [{ field: field('pins'), message: misfit }]),
    ...parametersOf(part, field('parameters')),
  ]
}

/** A test point on a net that no part touches would read open for ever. */
const isolatedPoints = (board: BoardType): FieldProblem[] => {
  const touched = new Set(board.parts.flatMap((part) => Object.values(part.pins)))
  return board.testPoints.flatMap(({ id, net }, at) => (touched.has(net) || !board.nets.includes(net) ? []
    : [{ field: `testPoints[${at}].net`, message: `${id} lies on net "${net}", and no part does; correct the net, or add the part to parts` }]))
}

const neighboursOf = (board: BoardType): FieldProblem[] => (board.neighbours ?? []).flatMap(([one, other], at) => [
  ...notIn(board.nets, `neighbours[${at}][0]`, one), ...notIn(board.nets, `neighbours[${at}][1]`, other),
  ...(one === other ? [{ field: `neighbours[${at}]`, message: `names "${one}" twice; a bridge needs two nets` }] : []),
])

export const partsOf = (board: BoardType): FieldProblem[] =>
  [...board.parts.flatMap((part, at) => partOf(board, part, at)), ...isolatedPoints(board), ...neighboursOf(board)]
