/** The air at the bench, as a person read it off a thermometer: what a meter's accuracy is stated for. */
import { z } from 'zod'

export const statedAir = z.strictObject({ celsius: z.number().min(-50).max(80).nullable(), relativeHumidityPercent: z.number().min(0).max(100).nullable() })
export type StatedAir = z.infer<typeof statedAir>

/** `stated`: when, UTC. */
export const benchAir = z.strictObject({ ...statedAir.shape, stated: z.iso.datetime() })
export type BenchAir = z.infer<typeof benchAir>

export const unstatedAir: StatedAir = { celsius: null, relativeHumidityPercent: null }

/** One working day: what was read yesterday says nothing of today (common practice, no source). */
export const airHoldsHours = 12

/** What may be taken as the air at a moment: nothing before it was stated, and nothing once it is too old. @param utcMs the moment, UTC. */
export const airAt = (air: BenchAir | undefined, utcMs: number): StatedAir => {
  const since = air === undefined ? NaN : utcMs - Date.parse(air.stated)
  if (air === undefined || !(since >= 0 && since <= airHoldsHours * 3_600_000)) return unstatedAir
  return { celsius: air.celsius, relativeHumidityPercent: air.relativeHumidityPercent }
}
