/** The commands that bring a meter to the bench, take it away, recognise it, and keep it in the register. */
import { randomUUID } from 'node:crypto'
import type { CommandInput, LinkView } from '../../src-core/contract'
import type { MeterDescription } from '../../src-core/meter/description'
import { withoutConnection, type Meter } from '../../src-core/meter/instrument'
import { blankRegisterEntry } from '../../src-core/meter/register'
import { freeName, nameProblem, registerProblem } from '../../src-core/meter/register-check'
import { Refusal, type Handlers } from './dispatcher'
import { wasOvertaken, type Link } from './link/link'
import { listPorts } from './link/ports'
import type { PortRecogniser } from './link/recognise-port'
import type { IdentityKeeper } from './meter-identity'
import type { RunStarts } from './run-starts-around'
import type { ShopStore } from './store/shop-store'

type MeterCommands = Pick<Handlers, 'list-ports' | 'connect' | 'disconnect' | 'confirm-meter' | 'recognise' | 'stop-recognising' | 'save-meter' | 'forget-connection'>

type Surroundings = {
  link: Link; shop: ShopStore; starts: RunStarts; identity: IdentityKeeper; recogniser: PortRecogniser
  linkView: () => LinkView
  descriptions: () => MeterDescription[]
  descriptionNamed: (name: string) => MeterDescription
  /** A port that is listened to for teaching is given back. */
  stopTeaching: () => Promise<void>
  registerChanged: () => void
}

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))

/** Without an id it is a meter the shop has not met: a path or a cable does not say which instrument hangs on it. */
const entryFor = (meters: readonly Meter[], { path, description, meter, name, port }: CommandInput<'connect'>): Meter => {
  const settings = port ?? null
  const chosen = meter === undefined ? undefined : meters.find((each) => each.id === meter)
  if (meter !== undefined && chosen === undefined) throw new Refusal('That meter is no longer in the list. Connect it as a new one.')
  if (chosen !== undefined) return { ...chosen, port: path, description, name: name ?? chosen.name, settings: settings ?? (description === chosen.description ? chosen.settings : null) }
  return {
    id: randomUUID(), name: name ?? freeName(`${description} on ${path}`, meters), description, port: path, settings, isolated: 'unknown',
    accuracy: {}, air: [], leadCheck: null, diodeCheck: null, sourceCheck: null, register: blankRegisterEntry,
  }
}

export const meterCommands = ({ link, shop, starts, identity, recogniser, linkView, descriptions, descriptionNamed, stopTeaching, registerChanged }: Surroundings): MeterCommands => ({
  'list-ports': listPorts,
  'connect': async (input) => {
    const description = descriptionNamed(input.description)
    const entry = entryFor(shop.meters(), input)
    const taken = nameProblem(entry, shop.meters())
    if (taken !== null) throw new Refusal(taken)
    starts.beforeConnect()
    await stopTeaching()
    if (recogniser.underWay()) await recogniser.stop()
    identity.connecting()
    try {
      await link.connect(input.path, description, entry.settings ?? description.port, entry.id)
    } catch (error) {
      if (!wasOvertaken(error)) starts.disconnected()
      throw new Refusal(wordsOf(error), { cause: error })
    }
    identity.connected(entry, input.meter === undefined)
    return linkView()
  },
  'disconnect': () => {
    starts.disconnected()
    link.disconnect()
    return linkView()
  },
  'confirm-meter': (input) => identity.confirm(input),
  'recognise': async ({ path, ask }) => {
    const { status, path: connected } = link.view()
    if (connected !== null && status !== 'closed') throw new Refusal(`A meter is connected on ${connected}. Disconnect it first: then the port can be listened to.`)
    await stopTeaching()
    try {
      return await recogniser.recognise(path, descriptions(), ask)
    } catch (error) {
      throw new Refusal(wordsOf(error), { cause: error })
    }
  },
  'stop-recognising': async () => {
    await recogniser.stop()
    return {}
  },
  'save-meter': (meter) => {
    const before = shop.meters().find((each) => each.id === meter.id)
    if (before === undefined) throw new Refusal('That meter is no longer in the list. Connect it once to add it.')
    // What the meter taught, by measuring or by being confirmed, is not typed over.
    const { air, settings, leadCheck, diodeCheck, sourceCheck } = before
    const { identification, cable } = before.register
    const next = { ...meter, air, settings, leadCheck, diodeCheck, sourceCheck, register: { ...meter.register, identification, cable } }
    const problem = registerProblem(next, shop.meters())
    if (problem !== null) throw new Refusal(problem)
    shop.saveMeter(next, new Date().toISOString())
    starts.meterEdited(next)
    registerChanged()
    return {}
  },
  'forget-connection': ({ meter: id }) => {
    const before = shop.meters().find((each) => each.id === id)
    if (before === undefined) throw new Refusal('That meter is no longer in the list.')
    const { meter, status } = linkView()
    if (meter === id && status !== 'closed') throw new Refusal(`${before.name} is connected. Disconnect it first: then its connection can be forgotten.`)
    shop.saveMeter(withoutConnection(before), new Date().toISOString())
    starts.meterEdited(withoutConnection(before))
    registerChanged()
    return {}
  },
})
