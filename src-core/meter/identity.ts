/** Which meter hangs on the link: assumed until the technician says so or its own reply proves it. A cable proves nothing. */
import { z } from 'zod'
import type { Meter } from './instrument'

export const identity = z.enum(['proven', 'confirmed', 'assumed'])
export type Identity = z.infer<typeof identity>

export const meterIdentity = z.strictObject({
  meter: z.string(), name: z.string(), identity,
  /** The question that is open, or what is known, in a sentence. */
  words: z.string(),
  /** Something speaks against it: the words say what. */
  contradicted: z.boolean(),
  /** The meter of the shop that it is by its reply or its asset number: one press takes it as that one. */
  offer: z.strictObject({ meter: z.string(), name: z.string() }).nullable(),
})
export type MeterIdentity = z.infer<typeof meterIdentity>

/** What a reply to *IDN? tells of a meter. */
export type Identified =
  /** The reply this meter is known by. `reply`: to be kept in place of the old one, since its firmware changed. */
  | { kind: 'proven'; reply: string }
  /** None is kept with it yet: this one is to be, once the technician has confirmed the meter. */
  | { kind: 'first'; reply: string }
  /** No reply can tell two of this kind apart, since it holds no serial number. */
  | { kind: 'alike' }
  /** `as`: the meter of the shop that answers like this. */
  | { kind: 'other'; as: Meter | null }

/**
 * IEEE 488.2-1992, 10.14 (from memory): manufacturer, model, serial number and firmware level, with commas between; "0" for a serial
 * number or a firmware level it has not got.
 */
const fieldsOf = (reply: string): { unit: string; serial: string } | null => {
  const fields = reply.trim().split(',').map((field) => field.trim())
  const [maker, model, serial = ''] = fields
  return fields.length === 4 ? { unit: [maker, model, serial].join(',').toLowerCase(), serial } : null
}

/** Whether a reply names one unit, and not only its kind. */
export const namesOneUnit = (reply: string): boolean => {
  const serial = fieldsOf(reply)?.serial ?? ''
  return serial !== '' && !/^0+$/.test(serial)
}

/** Same maker, model and serial number; a new firmware does not make another meter. */
export const sameUnit = (a: string, b: string): boolean => {
  const [first, second] = [fieldsOf(a), fieldsOf(b)]
  return first === null || second === null ? a.trim() === b.trim() : first.unit === second.unit
}

/** @param meters those of the shop. @param reply to *IDN?, as it came. */
export const identified = (meter: Meter, meters: readonly Meter[], reply: string): Identified => {
  const kept = meter.register.identification
  const plain = reply.trim().slice(0, 200)
  const knownAs = meters.find(({ id, register }) => id !== meter.id && register.identification !== null && sameUnit(register.identification, plain)) ?? null
  if (kept !== null && sameUnit(kept, plain)) return namesOneUnit(plain) ? { kind: 'proven', reply: plain } : { kind: 'alike' }
  if (kept !== null) return { kind: 'other', as: namesOneUnit(plain) ? knownAs : null }
  if (!namesOneUnit(plain)) return { kind: 'first', reply: plain }
  return knownAs === null ? { kind: 'first', reply: plain } : { kind: 'other', as: knownAs }
}

const plainAsset = (text: string): string => text.trim().toLowerCase()

/** The meter of the shop that bears this asset number, typed or scanned. */
export const meterWithAsset = (meters: readonly Meter[], text: string): Meter | null =>
  plainAsset(text) === '' ? null : meters.find(({ register }) => plainAsset(register.assetNumber) === plainAsset(text)) ?? null

/** Null: it is the meter's own number; else why not, in a sentence. */
export const assetMisfit = (meter: Meter, meters: readonly Meter[], text: string): string | null => {
  const asset = text.trim()
  const bearer = meterWithAsset(meters, asset)
  if (bearer?.id === meter.id) return null
  if (bearer !== null) return `“${asset}” is the asset number of ${bearer.name}, not of ${meter.name}. Is ${bearer.name} connected? Then take it as that one.`
  return meter.register.assetNumber.trim() === ''
    ? `No meter of this shop has the asset number “${asset}”. ${meter.name} has none yet: confirm it by a press, or enter its asset number on Meters.`
    : `No meter of this shop has the asset number “${asset}”. ${meter.name} has “${meter.register.assetNumber}”.`
}

/** Whether a code scanned where serial numbers are awaited answers the open question instead. */
export const answersWhichMeter = (open: MeterIdentity | null, meters: readonly Meter[], text: string): boolean =>
  open?.identity === 'assumed' && meterWithAsset(meters, text) !== null

export const identityWords = (name: string, which: Identity, hasAsset: boolean): string => {
  switch (which) {
    case 'assumed': return `Which meter is this? Confirm ${name}${hasAsset ? ', or scan its asset number' : ''}.`
    case 'confirmed': return `Confirmed: this is ${name}.`
    case 'proven': return `This is ${name}: its own reply proves it.`
  }
}

export const otherReplyWords = (name: string, as: Pick<Meter, 'name'> | null): string =>
  `This is another meter than ${name}: it does not answer as ${name} did. `
  + (as === null ? 'No meter of this shop answers like it: disconnect, and connect it as another meter.' : `It answers as ${as.name} does. Take it as ${as.name}, or connect the right one.`)

/** What a run keeps of it, as a note. */
export const otherReplyNote = (name: string, as: Pick<Meter, 'name'> | null): string =>
  `From here on the meter does not answer as ${name} did${as === null ? '' : `, but as ${as.name} does`}. Nothing was recorded until it was said which meter it is.`

/** The same where it was confirmed to be another, with no break that would say since when. */
export const takenForNote = (name: string, instead: Pick<Meter, 'name'>): string => `Until here the meter was taken to be ${name}; it was then confirmed to be ${instead.name}. Values before this may be of ${instead.name} too.`

/** In a record: how sure it was. */
export const identityInRecord: Record<Identity, string> = {
  proven: 'proven by its own reply', confirmed: 'confirmed by the technician', assumed: 'assumed, not confirmed when this run started',
}

/** A cable moves from meter to meter: what hung on it last is only a hint. Null where that is not known. */
export const cableHint = (meters: readonly Meter[], cable: string | null): string | null => {
  const last = cable === null ? [] : meters.filter(({ register }) => register.cable === cable)
  return last.length === 0 ? null : `This cable last hung on ${last.map(({ name }) => name).join(' or ')}. It may hang on another now.`
}
