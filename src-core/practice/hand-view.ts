/** What a screen shows of the hand in manual practice: where the leads are, the places they can go to, the dial, and a key for each move. */
import { z } from 'zod'
import type { BoardType } from '../board/board-type'
import { isLeg } from '../board/lifted-leg'
import { meterFunction, type MeterFunction } from '../meter/reading'
import type { BenchView } from '../run/view'
import { dialWords } from '../run/words'
import { fixturePlaces, hand, leadPlaces, nextLead, practiceFixture, sameTips, togetherPlace, type Hand, type Tips } from './hand'

const handPlace = z.strictObject({ id: z.string(), words: z.string(), x: z.number(), y: z.number() })

export const handView = z.strictObject({
  hand,
  /** Ids of places; null: in the air. */
  red: z.string().nullable(), black: z.string().nullable(),
  /** The lead that goes down next unless another is chosen. */
  next: z.enum(['red', 'black']),
  /** Where a lead can be set down now: test points of the board picture, or the ends of a fixture on a picture of 720 × 520. */
  places: z.array(handPlace),
  /** What the prompt asks for; null where no lead is to go anywhere. */
  asked: hand.nullable(),
  dial: z.array(z.strictObject({ function: meterFunction, words: z.string() })),
  keys: z.array(z.strictObject({ key: z.string(), does: z.string(), action: z.enum(['as-asked', 'lift', 'dial', 'red', 'black']) })),
})
export type HandView = z.infer<typeof handView>
export type HandAction = HandView['keys'][number]['action']

type Step = NonNullable<BenchView['step']>

/** Where the ends of a fixture are drawn, in its picture of 720 × 520. */
export const fixtureEnds = { left: { x: 190, y: 260 }, right: { x: 530, y: 260 }, middle: { x: 360, y: 260 } }

const placesOf = (board: BoardType, step: Step | null): HandView['places'] => {
  const fixture = step?.fixture ?? null
  switch (fixture === null ? 'none' : practiceFixture(fixture)) {
    case 'leads-joined': return [{ id: togetherPlace, words: 'both tips held together', ...fixtureEnds.middle }]
    case null:
    case 'leads-apart': return []
    case 'known-diode': return [
      { id: fixturePlaces['known-diode'][0], words: 'anode of the known diode', ...fixtureEnds.left },
      { id: fixturePlaces['known-diode'][1], words: 'cathode of the known diode', ...fixtureEnds.right },
    ]
    case 'known-source': return [
      { id: fixturePlaces['known-source'][0], words: 'plus of the known source', ...fixtureEnds.left },
      { id: fixturePlaces['known-source'][1], words: 'minus of the known source', ...fixtureEnds.right },
    ]
    case 'none': return [
      ...board.testPoints.filter(({ picture }) => picture === board.pictures[0]?.id).map(({ id, words, x, y }) => ({ id, words, x, y })),
      // Legs that are asked for: what else is lifted the step does not say.
      ...[step?.red ?? null, step?.black ?? null].flatMap((tip) => (tip !== null && isLeg(tip.testPoint) ? [{ id: tip.testPoint, words: tip.words, x: tip.x, y: tip.y }] : [])),
    ]
  }
}

/** What the prompt of this step asks of leads and dial. */
export const handAsked = (step: Step | null): Hand | null => {
  if (step === null || step.kind !== 'measure' || step.function === null) return null
  const fixture = step.fixture === null ? null : practiceFixture(step.fixture)
  const tips: Tips | null = step.fixture === 'leads-apart' ? 'lifted'
    : fixture !== null ? { fixture, reversed: step.reversed }
      : step.red !== null && step.black !== null ? { leads: { red: step.red.testPoint, black: step.black.testPoint } } : null
  return tips === null ? null : { tips, function: step.function }
}

/** `dial`: the functions to choose from, in the order of the meter's dial; the one it stands at is always among them. */
export const handViewOf = (board: BoardType, step: Step | null, now: Hand, dial: readonly MeterFunction[]): HandView => {
  const asked = handAsked(step)
  const keys: HandView['keys'] = [
    ...(asked === null || asked.tips === 'lifted' || sameTips(asked.tips, now.tips) ? [] : [{ key: 'A', does: 'leads as asked', action: 'as-asked' as const }]),
    ...(now.tips === 'lifted' ? [] : [{ key: 'L', does: 'lift', action: 'lift' as const }]),
    ...(asked === null || asked.function === now.function ? [] : [{ key: 'D', does: `dial to ${dialWords[asked.function]}`, action: 'dial' as const }]),
    { key: '1', does: 'red', action: 'red' }, { key: '2', does: 'black', action: 'black' },
  ]
  return {
    hand: now, ...leadPlaces(now.tips), next: nextLead(now.tips), places: placesOf(board, step), asked,
    dial: (dial.includes(now.function) ? dial : [now.function, ...dial]).map((one) => ({ function: one, words: dialWords[one] })), keys,
  }
}
