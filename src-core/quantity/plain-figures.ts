/** Figures as they leave the app in a file: without the dust of binary fractions, and with all that a meter can show. */

/** 12 significant digits: more than any meter shows, fewer than the 15 a double carries whole. */
const digits = 12

/** 0.21000000000000002 is 0.21. */
export const withoutDust = (figure: number): number => Number(figure.toPrecision(digits))

/** Seconds, to the millisecond. */
export const toMilliseconds = (seconds: number): number => Number(seconds.toFixed(3))
