/** How resistances move with temperature: thermistors and copper windings. */
const zeroCelsius = 273.15

/** NTC by the B formula, R = R25 · exp(B · (1/T − 1/298.15 K)), as IEC 60539-1 defines B (from memory). Factor of R25 at `celsius`. */
export const ntcFactor = (betaKelvin: number, celsius: number): number =>
  Math.exp(betaKelvin * (1 / (celsius + zeroCelsius) - 1 / (25 + zeroCelsius)))

/** Polynomial 1 + a·t + b·t² about a reference, as IEC 60751 gives it for platinum above 0 °C; never below a thousandth. */
export const polynomialFactor = (perKelvin: number, perKelvinSquared: number, referenceCelsius: number, celsius: number): number => {
  const t = celsius - referenceCelsius
  return Math.max(1e-3, 1 + perKelvin * t + perKelvinSquared * t * t)
}

/** Annealed copper is linear with its zero at −234.45 °C, 0.00393/K at 20 °C (IEC 60028, from memory). Factor of the resistance at 25 °C. */
export const copperFactor = (celsius: number): number => Math.max(1e-3, (234.45 + celsius) / (234.45 + 25))
