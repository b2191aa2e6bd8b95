/** Junctions behind resistances in closed form, by Lambert's W, with nothing of the solver in it. */

/** W(e^y), the principal branch: the w of w + ln w = y, by Newton's method (Corless and others, Adv. Comput. Math. 5 (1996) 329; from memory). */
export const lambertOfExp = (y: number): number => {
  let w = y > 1 ? y - Math.log(y) : Math.exp(Math.max(y, -700)) / (1 + Math.exp(Math.max(y, -700)))
  for (let n = 0; n < 100; n += 1) w = Math.max(w * 1e-3, (w * (1 + y - Math.log(w))) / (1 + w))
  return w
}

/** I(v) = amperes · (e^((v − atVolts) / slopeVolts) − e^(−atVolts / slopeVolts)) + v / leakageOhms + minusAmperes, behind seriesOhms. SI. */
export type ClosedJunction = { amperes: number; slopeVolts: number; atVolts?: number; seriesOhms?: number; leakageOhms?: number; minusAmperes?: number }

/**
 * Volts and amperes at the tips of `volts` behind `ohms`. With R = ohms + seriesOhms, k = 1 + R / leakageOhms, A = (volts + R · (the current the
 * exponential takes off at 0 V)) / k and B = R · amperes / k, v = A − B · e^((v − atVolts) / slope) has v = A − slope · W(B / slope · e^((A − atVolts) / slope)).
 * Banwell and Jayakumar, Electronics Letters 36 (2000) 291, for the diode behind a resistor; Jain and Kapoor, Solar Energy Materials and Solar Cells 81
 * (2004) 269, with a leakage; both from memory.
 */
export const tipsOf = (junction: ClosedJunction, volts: number, ohms: number): { volts: number; amperes: number } => {
  const { amperes, slopeVolts: a, atVolts = 0, seriesOhms = 0, leakageOhms = Infinity, minusAmperes = 0 } = junction
  const all = ohms + seriesOhms
  const k = 1 + all / leakageOhms
  const most = (volts + all * (amperes * Math.exp(-atVolts / a) - minusAmperes)) / k
  const own = most - a * lambertOfExp(Math.log((all * amperes) / k / a) + (most - atVolts) / a)
  const through = (volts - own) / all
  return { volts: volts - ohms * through, amperes: through }
}
