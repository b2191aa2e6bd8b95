/** What speaks against an entry of the meter register, in plain words, before it is kept. */
import { meterWithAsset } from './identity'
import type { Meter } from './instrument'
import type { RegisterEntry } from './register'
import { unitOf, type MeterFunction } from './reading'
import { inWords } from '../quantity/engineering'

const rangeWords = (fn: MeterFunction, range: number | null): string => `${fn.replace('-', ' ')}, ${range === null ? 'any range' : `range ${inWords(range, unitOf[fn], null)}`}`

const firstTwice = <T>(all: readonly T[], key: (one: T) => string): T | null =>
  all.find((one, at) => all.findIndex((other) => key(other) === key(one)) < at) ?? null

const certificateProblem = ({ certificate }: RegisterEntry): string | null => {
  if (certificate === null) return null
  const { calibrated, due } = certificate
  return due < calibrated ? `Certificate: the due date, ${due}, lies before the day of calibration, ${calibrated}. Which of the two is right?` : null
}

const twiceProblem = ({ ranges, sources }: RegisterEntry): string | null => {
  const key = (one: { function: string; range: number | null }): string => `${one.function} ${one.range}`
  const range = firstTwice(ranges, key)
  if (range !== null) return `Accuracy: ${rangeWords(range.function, range.range)}, stands twice. Take one of the two lines out.`
  const source = firstTwice(sources, key)
  return source === null ? null : `Source: ${rangeWords(source.function, source.range)}, stands twice. Take one of the two lines out.`
}

const assetProblem = ({ id, register }: Pick<Meter, 'id' | 'register'>, meters: readonly Meter[]): string | null => {
  const bearer = meterWithAsset(meters.filter((each) => each.id !== id), register.assetNumber)
  return bearer === null ? null : `Asset number: “${register.assetNumber.trim()}” is that of ${bearer.name} already. Each meter has its own.`
}

type Named = Pick<Meter, 'id' | 'name'>

const bearerOf = (name: string, meters: readonly Named[]): Named | undefined => meters.find((each) => each.name.trim().toLowerCase() === name.trim().toLowerCase())

/** A record, a screen and a voice name a meter by its name: no two have one. */
export const nameProblem = ({ id, name }: Named, meters: readonly Named[]): string | null =>
  (bearerOf(name, meters.filter((each) => each.id !== id)) === undefined ? null : `Name: another meter is called “${name.trim()}” already. Each meter has a name of its own.`)

/** The name itself, or with the first number behind it that makes it one of its own; at most 80 characters. */
export const freeName = (name: string, meters: readonly Named[]): string => {
  const numbered = (n: number): string => (n === 1 ? name.slice(0, 80) : `${name.slice(0, 76)} ${n}`)
  let n = 1
  while (bearerOf(numbered(n), meters) !== undefined) n += 1
  return numbered(n)
}

/** The first thing wrong, or null. @param meters those of the shop. */
export const registerProblem = (meter: Pick<Meter, 'id' | 'name' | 'register'>, meters: readonly Meter[]): string | null =>
  nameProblem(meter, meters) ?? assetProblem(meter, meters) ?? certificateProblem(meter.register) ?? twiceProblem(meter.register)
