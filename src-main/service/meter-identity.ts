/** Which meter hangs on the link: assumed after every connection, then confirmed by the technician or proven by its own reply. */
import type { CommandInput } from '../../src-core/contract'
import {
  assetMisfit, identified, identityWords, meterWithAsset, otherReplyNote, otherReplyWords, takenForNote, type Identity, type MeterIdentity,
} from '../../src-core/meter/identity'
import type { Meter } from '../../src-core/meter/instrument'
import type { RegisterEntry } from '../../src-core/meter/register'
import { Refusal } from './dispatcher'
import type { ShopStore } from './store/shop-store'

export type IdentityKeeper = {
  view: () => MeterIdentity | null
  /** For the run that starts now. */
  now: () => Identity
  /** The meter the link was opened for may have turned out to be another. */
  meterOf: (linked: string | null) => string | null
  /** A connection is being made: a reply that comes before it stands is heard. */
  connecting: () => void
  /** The link is open. `fresh`: as a meter the shop has not met. Keeps it with the shop's meters and takes it to the bench. */
  connected: (entry: Meter, fresh: boolean) => void
  /** The instrument's own reply to *IDN?. */
  identified: (reply: string) => void
  confirm: (input: CommandInput<'confirm-meter'>) => MeterIdentity
  /** The bench asked whether it is the same meter, and was answered. */
  answered: (same: boolean) => void
  /** Why “the same meter” cannot be right, or null. */
  against: () => string | null
  /** The cable was pulled: what comes back may be another meter. */
  lost: () => void
  close: () => void
}

export type IdentitySurroundings = {
  shop: ShopStore
  /** The meter in use; null: none, or the simulated one of practice. */
  meter: () => Meter | null
  use: (meter: Meter) => void
  /** A meter came to the bench, or another in its place; `because`: what the run is to keep of the values before. */
  taken: (meter: Meter, because?: string) => void
  /** The instrument answers otherwise than the meter of the run on the bench: a note for the run. */
  doubted: (because: string) => void
  /** Something of the meter was kept. */
  edited: (meter: Meter) => void
  /** The cable was pulled and is not back: nobody knows what will hang on it. */
  away: () => boolean
  /** The meter of the run on the bench, and whether it asks for it; null: none, or practice. */
  bench: () => { meter: Meter; asks: boolean } | null
  saySame: () => string | null
  cableAt: (path: string) => Promise<string | null>
  changed: () => void
  report: (error: unknown) => void
}

type State = {
  meter: string
  /** The id the link was opened with. */
  linked: string
  identity: Identity
  fresh: boolean
  reply: string | null
  against: string | null
  offer: string | null
}

const awayWords = 'The meter is away. Plug it in again, then confirm which one it is.'
const utcNow = (): string => new Date().toISOString()

/** Nothing was ever measured with it or entered for it. */
const isBlank = ({ air, leadCheck, diodeCheck, sourceCheck, register: { certificate, ranges, sources, assetNumber, serialNumber } }: Meter): boolean =>
  air.length === 0 && leadCheck === null && diodeCheck === null && sourceCheck === null && certificate === null && ranges.length === 0
  && sources.length === 0 && assetNumber === '' && serialNumber === ''

export const createMeterIdentity = (around: IdentitySurroundings): IdentityKeeper => {
  const { shop } = around
  let state: State | null = null
  let early: string | null = null
  let closed = false

  const assumed = (meter: string, linked: string, fresh: boolean): State =>
    ({ meter, linked, identity: 'assumed', fresh, reply: null, against: null, offer: null })

  const present = (): { meter: Meter; state: State } | null => {
    const meter = around.meter()
    if (meter === null) return null
    // The run may have gone on with another meter meanwhile.
    if (state === null || state.meter !== meter.id) state = assumed(meter.id, state?.linked ?? meter.id, false)
    return { meter, state }
  }

  const view = (): MeterIdentity | null => {
    const now = present()
    if (now === null) return null
    const { meter, state: { identity, against, offer } } = now
    const offered = shop.meters().find(({ id }) => id === offer)
    return {
      meter: meter.id, name: meter.name, identity, contradicted: against !== null,
      words: against ?? identityWords(meter.name, identity, meter.register.assetNumber !== ''),
      offer: offered === undefined ? null : { meter: offered.id, name: offered.name },
    }
  }

  const change = (next: Partial<State>): void => {
    if (state !== null) state = { ...state, ...next }
    around.changed()
  }

  const keep = (id: string, patch: Partial<RegisterEntry>): void => {
    const before = shop.meters().find((each) => each.id === id)
    if (before === undefined) return
    const next = { ...before, register: { ...before.register, ...patch } }
    if (JSON.stringify(next) === JSON.stringify(before)) return
    shop.saveMeter(next, utcNow())
    around.edited(next)
  }

  const rememberCable = ({ id, port }: Meter): void => {
    if (port === null) return
    around.cableAt(port).then((cable) => {
      if (!closed && cable !== null && state?.meter === id && state.identity !== 'assumed') keep(id, { cable })
    }).catch(around.report)
  }

  /** Another meter of the shop in place of the one it was taken for, on the same port and by the same description. */
  const takeAs = (known: Meter, instead: Meter): void => {
    const linked = state?.linked ?? instead.id
    const reply = state?.reply ?? null
    // A break that the bench asks about says itself since when.
    const unbroken = state?.fresh !== true && around.bench()?.asks === false
    if (state?.fresh === true && isBlank(instead) && around.bench()?.meter.id !== instead.id) shop.forgetMeter(instead.id)
    const next = { ...known, port: instead.port, description: instead.description, settings: instead.settings }
    shop.saveMeter(next, utcNow())
    state = { ...assumed(next.id, linked, false), reply }
    around.taken(next, unbroken ? takenForNote(instead.name, next) : undefined)
  }

  const sure = (meter: Meter, identity: Identity): void => {
    change({ identity: state?.identity === 'proven' ? 'proven' : identity, against: null, offer: null })
    const reply = state?.reply ?? null
    if (reply !== null) keep(meter.id, { identification: reply })
    rememberCable(meter)
  }

  const hear = (reply: string): void => {
    const now = present()
    if (now === null) return
    const found = identified(now.meter, shop.meters(), reply)
    switch (found.kind) {
      case 'proven':
        change({ reply: found.reply })
        return sure(now.meter, 'proven')
      case 'alike': return
      case 'first':
        change({ reply: found.reply })
        // A meter that is new to the shop is the one that answers here.
        if (now.state.fresh) keep(now.meter.id, { identification: found.reply })
        return
      case 'other':
        change({ reply })
        if (found.as === null || !now.state.fresh) {
          const told = now.state.against !== null
          change({ identity: 'assumed', against: otherReplyWords(now.meter.name, found.as), offer: found.as?.id ?? null })
          if (!told && around.bench()?.meter.id === now.meter.id) around.doubted(otherReplyNote(now.meter.name, found.as))
          return
        }
        takeAs(found.as, now.meter)
        return hear(reply)
    }
  }

  const takeOffered = (id: string, asset: string | undefined, now: { meter: Meter; state: State }): void => {
    const offered = shop.meters().find((each) => each.id === id)
    if (offered === undefined || now.state.offer !== id) throw new Refusal(`Now ${now.meter.name} is taken to be connected: nothing was confirmed. Look which meter it is, then confirm it.`)
    const misfit = asset === undefined ? null : assetMisfit(offered, shop.meters(), asset)
    if (misfit !== null) throw new Refusal(misfit)
    takeAs(offered, now.meter)
    if (state?.reply !== null && state?.reply !== undefined) hear(state.reply)
    sure(offered, 'confirmed')
  }

  const byAsset = (asset: string, { meter }: { meter: Meter }): void => {
    const misfit = assetMisfit(meter, shop.meters(), asset)
    if (misfit === null) return
    const bearer = meterWithAsset(shop.meters(), asset)
    change({ identity: 'assumed', offer: bearer?.id ?? null })
    throw new Refusal(misfit)
  }

  const confirm: IdentityKeeper['confirm'] = ({ meter: id, asset }) => {
    const now = present()
    if (now === null) throw new Refusal('No meter is connected: there is nothing to confirm. Connect it first.')
    if (around.away()) throw new Refusal(awayWords)
    const asks = around.bench()?.asks === true
    const bearer = asset === undefined ? null : meterWithAsset(shop.meters(), asset)
    // The open question on the bench is answered by any label of the shop: it is this one, or that one.
    if (asks && id === now.meter.id && now.state.against === null && bearer !== null && bearer.id !== id) {
      takeAs(bearer, now.meter)
      sure(bearer, 'confirmed')
    } else if (id !== now.meter.id) takeOffered(id, asset, now)
    else {
      if (now.state.against !== null) throw new Refusal(now.state.against)
      if (asset !== undefined) byAsset(asset, now)
      const refused = asks ? around.saySame() : null
      if (refused !== null) throw new Refusal(refused)
      sure(now.meter, 'confirmed')
    }
    const made = view()
    if (made === null) throw new Refusal(awayWords)
    return made
  }

  return {
    view, confirm,
    now: () => present()?.state.identity ?? 'assumed',
    meterOf: (linked) => (linked !== null && state?.linked === linked ? state.meter : linked),
    connecting: () => { early = null; state = null },
    connected: (entry, fresh) => {
      const found = fresh && early !== null ? identified(entry, shop.meters(), early) : null
      const known = found?.kind === 'other' ? found.as : null
      const meter = known === null ? entry : { ...known, port: entry.port, description: entry.description, settings: entry.settings }
      shop.saveMeter(meter, utcNow())
      state = assumed(meter.id, entry.id, known === null && fresh)
      around.taken(meter)
      const reply = early
      early = null
      if (reply !== null) hear(reply)
      around.changed()
    },
    identified: (reply) => {
      if (state === null) early = reply
      else hear(reply)
    },
    answered: (same) => {
      const meter = around.bench()?.meter
      if (meter === undefined) return
      if (same) {
        if (present()?.meter.id === meter.id) sure(meter, 'confirmed')
        return
      }
      around.use(meter)
      state = assumed(meter.id, state?.linked ?? meter.id, false)
      around.changed()
    },
    against: () => present()?.state.against ?? null,
    lost: () => {
      const now = present()
      if (now !== null) state = assumed(now.meter.id, now.state.linked, now.state.fresh)
      around.changed()
    },
    close: () => { closed = true },
  }
}
