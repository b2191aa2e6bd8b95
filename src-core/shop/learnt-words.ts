/** Shares and efforts of the shop as they are read: always with what they rest on. */
import type { LearntView } from './learnt-view'

const percent = (share: number): string => `${Math.round(100 * share)} %`

/** “78 % (14 of 18; likely 52 % to 94 %)”. */
export const shareInWords = ({ count, of, low, high }: LearntView['passed']): string =>
  (of === 0 ? 'none judged yet' : `${percent(count / of)} (${count} of ${of}; likely ${percent(low)} to ${percent(high)})`)

/** “24, nine in ten at most 31”. */
export const effortInWords = (effort: LearntView['touches']): string => (effort === null ? 'not known yet' : `${effort.median}, nine in ten at most ${effort.most}`)

/** “1.62 (from 1.31)”: a Cpk with the lower of its 95 % bounds. */
export const cpkInWords = ({ cpk, cpkLow }: Pick<LearntView['steps'][number], 'cpk' | 'cpkLow'>): string =>
  (cpk === null || cpkLow === null ? '' : `${cpk.toFixed(2).replace('-', '−')} (from ${cpkLow.toFixed(2).replace('-', '−')})`)

/** “On 9 of the 12 boards with a faulty D4, D5 was faulty too; were they strangers to each other, on 1.4.” */
export const pairInWords = ({ parts: [one, other], share, of, expected }: LearntView['pairs'][number]): string =>
  `On ${share.count} of the ${share.of} boards with a faulty ${of}, ${of === one ? other : one} was faulty too; were they strangers to each other, on ${(expected * share.of).toFixed(1)}.`
