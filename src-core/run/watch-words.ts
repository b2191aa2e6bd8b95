/** What a watch came to, in words, and what its points bear beside them. */
import { inWords } from '../quantity/engineering'
import type { WatchedBody } from './event'

type Told = Pick<WatchedBody, 'minimum' | 'maximum' | 'dropouts' | 'seconds' | 'unit' | 'resolution'>

const secondsInWords = (seconds: number): string => `${seconds.toFixed(1)} s`

export const dropoutsInWords = (dropouts: readonly { seconds: number }[]): string => {
  if (dropouts.length === 0) return 'no dropout'
  const total = dropouts.reduce((sum, { seconds }) => sum + seconds, 0)
  return `${dropouts.length} ${dropouts.length === 1 ? 'dropout' : 'dropouts'}, ${secondsInWords(total)}`
}

/** "221.3 Ω to 222.0 Ω". */
export const rangeInWords = ({ minimum, maximum, unit, resolution }: Pick<Told, 'minimum' | 'maximum' | 'unit' | 'resolution'>): string =>
  (minimum === null || maximum === null ? 'no contact' : `${inWords(minimum.value, unit, resolution)} to ${inWords(maximum.value, unit, resolution)}`)

/** For a narrow place: the dropouts where there are any, else "221.3–222.0 Ω". */
export const watchInShort = (watch: Told): string => {
  const { minimum, maximum, dropouts, unit, resolution } = watch
  if (minimum === null || maximum === null || dropouts.length === 0 && minimum.value === maximum.value) return minimum === null ? rangeInWords(watch) : inWords(minimum.value, unit, resolution)
  if (dropouts.length > 0) return dropouts.length === 1 ? '1 dropout' : `${dropouts.length} dropouts`
  const [low, high] = [minimum, maximum].map(({ value }) => inWords(value, unit, resolution).split(' '))
  return low?.[1] === high?.[1] ? `${low?.[0] ?? ''}–${high?.join(' ') ?? ''}` : `${low?.join(' ') ?? ''}–${high?.join(' ') ?? ''}`
}

/** "221.3 Ω to 222.0 Ω, 2 dropouts, 0.6 s, in 12.0 s". */
export const watchInWords = (watch: Told): string =>
  (watch.minimum === null ? rangeInWords(watch) : `${rangeInWords(watch)}, ${dropoutsInWords(watch.dropouts)}, in ${secondsInWords(watch.seconds)}`)
