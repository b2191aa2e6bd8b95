/** A part of a board as the board file writes it: its kind, value, pins, and what is known of it beyond the generic figures of its kind. */
import { z } from 'zod'

const identifier = z.string().regex(/^[A-Za-z0-9_.+-]{1,40}$/, 'must be 1 to 40 letters, digits or _ . + -')

export const partKind = z.enum([
  'resistor', 'ntc', 'ptc', 'ferrite-bead', 'coil', 'choke', 'transformer', 'capacitor',
  'diode', 'rectifier', 'schottky', 'zener', 'tvs', 'two-way-protector', 'varistor', 'gas-tube', 'thyristor-protector',
  'led', 'bridge', 'optocoupler', 'npn', 'pnp', 'n-mosfet', 'p-mosfet', 'ic',
  'fuse', 'link', 'contact', 'closed-contact', 'connector',
])
export type PartKind = z.infer<typeof partKind>

/** What a board knows better than the generic figures of circuit/part-parameters.ts. SI. */
export const partParameters = z.strictObject({
  /** Shockley's law at 25 °C: I = saturationAmperes · (exp(V / (ideality · V_T)) − 1), behind seriesOhms. */
  saturationAmperes: z.number().positive().optional(), ideality: z.number().min(0.5).max(5).optional(),
  seriesOhms: z.number().min(0).optional(), leakageOhms: z.number().positive().optional(),
  /** Saturation currents of sound parts lie within this factor of the usual one, either way. */
  junctionSpread: z.number().min(1).max(100).optional(),
  /** Volts in which the current of a breakdown grows e-fold. */
  breakdownSlopeVolts: z.number().positive().optional(),
  /** NTC: B of R = R25 · exp(B · (1/T − 1/298.15 K)), K. */
  betaKelvin: z.number().positive().optional(),
  /** PTC: R = value · (1 + perKelvin · t + perKelvinSquared · t²), t from referenceCelsius (25 unless stated). */
  perKelvin: z.number().optional(), perKelvinSquared: z.number().optional(), referenceCelsius: z.number().min(-273).max(300).optional(),
  /** Ohms of single windings (by their first pin), or of single pins of an IC to its negative supply pin. */
  pinOhms: z.record(z.string().min(1).max(20), z.number().positive()).optional(),
  /** Where the clamp diodes of an IC's pins lead; to both supplies unless stated. A line receiver has none, an open-collector part none to plus. */
  clamps: z.enum(['both', 'negative', 'none']).optional(),
})
export type PartParameters = z.infer<typeof partParameters>

export const part = z.strictObject({
  ref: identifier,
  /** A contact is one of a relay or switch, open at rest; a closed-contact is closed at rest. */
  kind: partKind,
  /**
   * SI: ohms (at 25 °C), farads, henries; volts of breakdown for a Zener or a protector, of an LED at 1 mA; for an IC the resistance of an input to its
   * negative supply pin.
   */
  value: z.number().positive().optional(),
  tolerance: z.number().min(0).max(1).optional(),
  /** Resistance of a coil or bead, or of one winding of a choke or transformer, Ω. */
  windingOhms: z.number().positive().optional(),
  pins: z.record(z.string().min(1).max(20), identifier),
  /** The middle of its body on a picture, in the picture's own units. Left out: guessed from the test points of its nets. */
  place: z.strictObject({ picture: identifier, x: z.number(), y: z.number() }).optional(),
  parameters: partParameters.optional(),
  /** What the part bears, for the choice of a substitute. SI; `seconds`: reverse recovery of a diode, opening time of a fuse. */
  ratings: z.strictObject({
    volts: z.number().positive().optional(), amperes: z.number().positive().optional(), watts: z.number().positive().optional(),
    seconds: z.number().positive().optional(), package: z.string().min(1).max(80).optional(), marking: z.string().min(1).max(80).optional(),
  }).optional(),
  what: z.string().min(1).max(300).optional(),
})
export type Part = z.infer<typeof part>
