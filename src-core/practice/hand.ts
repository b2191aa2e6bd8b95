/** What the practising hand does with leads and dial, and how one lead after the other comes to its place. */
import { z } from 'zod'
import type { BoardType } from '../board/board-type'
import { isLeg, netOfTip, tipName } from '../board/lifted-leg'
import { meterFunction, type MeterFunction } from '../meter/reading'

export const fixtureName = z.enum(['leads-joined', 'leads-apart', 'known-diode', 'known-source'])
export type FixtureName = z.infer<typeof fixtureName>
/** Null for check standards and the parts a source is fitted from: the practice bench has none. */
export const practiceFixture = (name: string): FixtureName | null => fixtureName.options.find((each) => each === name) ?? null

/** A test point or a lifted leg of the board, or a place of a fixture (they begin with "@", which no test point does); null: that lead is in the air. */
const place = z.string().min(1).max(64).nullable()
export const tips = z.union([
  z.literal('lifted'),
  z.strictObject({ leads: z.strictObject({ red: place, black: place }) }),
  z.strictObject({ fixture: fixtureName, reversed: z.boolean() }),
])
/** On two places, on a fixture of the bench kit, or in the air. */
export type Tips = z.infer<typeof tips>
export type Hand = { tips: Tips; function: MeterFunction }
export const hand = z.strictObject({ tips, function: meterFunction })

export type Lead = 'red' | 'black'
export type LeadPlaces = { red: string | null; black: string | null }

/** The two ends of a fixture: first where red goes unless the leads are exchanged. */
export const fixturePlaces = {
  'known-diode': ['@anode', '@cathode'],
  'known-source': ['@plus', '@minus'],
} as const
/** Both tips held against each other. */
export const togetherPlace = '@together'

export const isFixturePlace = (id: string): boolean => id.startsWith('@')

/** Where each lead is. */
export const leadPlaces = (of: Tips): LeadPlaces => {
  if (of === 'lifted') return { red: null, black: null }
  if ('leads' in of) return of.leads
  switch (of.fixture) {
    case 'leads-apart': return { red: null, black: null }
    case 'leads-joined': return { red: togetherPlace, black: togetherPlace }
    case 'known-diode':
    case 'known-source': {
      const [first, second] = fixturePlaces[of.fixture]
      return of.reversed ? { red: second, black: first } : { red: first, black: second }
    }
  }
}

/** The same places said the usual way: both leads on a fixture is that fixture, none anywhere is lifted. */
const said = (leads: LeadPlaces): Tips => {
  const { red, black } = leads
  if (red === null && black === null) return 'lifted'
  for (const fixture of ['known-diode', 'known-source'] as const) {
    const [first, second] = fixturePlaces[fixture]
    if (red === first && black === second) return { fixture, reversed: false }
    if (red === second && black === first) return { fixture, reversed: true }
  }
  return { leads }
}

/** The lead that goes down next: red first, then black. With both down the next touch is a new one, and begins with red. */
export const nextLead = (of: Tips): Lead => {
  const { red, black } = leadPlaces(of)
  return red !== null && black === null ? 'black' : 'red'
}

/**
 * One lead set down at a place. With both down already they are lifted first, so that no reading of a half-moved placement comes
 * between two touches; `lead` unless given is the next one. The tips held together take both leads at once.
 */
export const leadPlaced = (of: Tips, at: string, lead: Lead = nextLead(of)): Tips => {
  if (at === togetherPlace) return { fixture: 'leads-joined', reversed: false }
  const before = leadPlaces(of)
  const lifted = before.red !== null && before.black !== null
  return said({ ...(lifted ? { red: null, black: null } : before), [lead]: at })
}

export const sameTips = (a: Tips, b: Tips): boolean => {
  if (a === 'lifted' || b === 'lifted') return a === b
  if ('leads' in a) return 'leads' in b && a.leads.red === b.leads.red && a.leads.black === b.leads.black
  return 'fixture' in b && a.fixture === b.fixture && a.reversed === b.reversed
}

/** Nothing joins the leads: one is off, or they are on two things that are not connected. */
export const inTheAir = (of: Tips): boolean => {
  if (of === 'lifted') return true
  if ('fixture' in of) return of.fixture === 'leads-apart'
  const { red, black } = of.leads
  return red === null || black === null || (red !== black && (isFixturePlace(red) || isFixturePlace(black)))
}

const places = [...fixturePlaces['known-diode'], ...fixturePlaces['known-source'], togetherPlace] as readonly string[]

/** Why the hand cannot be so, in a sentence; null: it can. `dial`: the functions of the meter. */
export const handMisfit = (board: Pick<BoardType, 'name' | 'parts' | 'testPoints'>, dial: readonly MeterFunction[], of: Hand): string | null => {
  if (!dial.includes(of.function)) return `The dial of this meter has no ${of.function}. It has ${dial.join(', ')}.`
  const { red, black } = leadPlaces(of.tips)
  const unknown = [red, black].find((id) => id !== null && !places.includes(id) && netOfTip(board, id) === null)
  return unknown === undefined || unknown === null ? null : `${board.name} has no ${isLeg(unknown) ? tipName(board, unknown) : `test point ${unknown}`}; no lead can go there.`
}
