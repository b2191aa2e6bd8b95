/** Whether what was chosen elsewhere can be read on the board as it is: its legs are lifted, and a capacitor off its pad was seen to hold nothing. */
import { isLeg, netOfTip, partOfLeg, tipName } from '../board/lifted-leg'
import { legPlacements, legsOf } from '../circuit/diagnose/lifted-legs'
import { boardStateOf } from './board-state'
import { readElsewhere } from './elsewhere'
import { onTestPoints, type MeasurePlanStep, type Plan } from './plan'
import { usualResidualVolts } from './preparation'
import { stepState, type Learned, type RunState } from './state'
import { valueInWords } from './words'

/** Begins the reason of a lapse that says nothing of a part off its pad: it is not supplied. */
export const suppliedFor = 'the board may have been supplied for'

type Two = { red: string; black: string }
/** A capacitor with a lifted leg, where DC volts are read across it. */
type OffItsPad = { ref: string; tips: Two; nets: Two }

export const capacitorsOffPad = (plan: Plan, run: RunState, until = Infinity): OffItsPad[] => legPlacements(plan.board, boardStateOf(plan, run, until), true).flatMap(({ placement, nets }) => {
  const leg = isLeg(nets.red) ? nets.red : nets.black
  const ref = nets.function === 'capacitance' ? partOfLeg(plan.board, leg)?.part.ref : undefined
  return ref === undefined ? [] : [{ ref, tips: placement, nets }]
})

export const isAcross = ({ nets }: OffItsPad, one: string | null, other: string | null): boolean =>
  (one === nets.red && other === nets.black) || (one === nets.black && other === nets.red)

/** The number of the event behind which nothing is known of its charge: it was lifted or put back, or the proof lapsed. */
const unknownSince = (plan: Plan, { events }: RunState, ref: string, until: number): number => {
  const changed = new Set(plan.steps.flatMap((step) => (step.kind === 'do' && step.leaves?.some((one) => one.ref === ref) === true ? [step.id] : [])))
  return events.findLast((event) => event.seq < until && (event.kind === 'proof-lapsed' ? !event.because.startsWith(suppliedFor)
    : (event.kind === 'done' || event.kind === 'skipped') && changed.has(event.step)))?.seq ?? 0
}

/** The last DC volts read across it. `stands`: it was not taken back. Null: none since nothing was known of it. */
const lastVolts = (plan: Plan, run: RunState, capacitor: OffItsPad, until: number): { read: Learned; stands: boolean } | null => {
  const since = unknownSince(plan, run, capacitor.ref, until)
  const reads = (plan.elsewhere ?? []).flatMap((step) => {
    const at = onTestPoints(step.placement)
    if (step.function !== 'dc-voltage' || at === null || !isAcross(capacitor, netOfTip(plan.board, at.red), netOfTip(plan.board, at.black))) return []
    const own = stepState(run, step.id)
    return [...own.learned, ...own.earlierLearned].map((read) => ({ read, stands: readElsewhere(own)?.seq === read.seq }))
  })
  return reads.filter(({ read: { seq } }) => seq > since && seq < until).sort((a, b) => a.read.seq - b.read.seq).at(-1) ?? null
}

const refusalOfLeg = (plan: Plan, run: RunState, leg: string, ref: string, until: number): string | null => {
  const across = capacitorsOffPad(plan, run, until).filter(({ nets }) => nets.red === leg || nets.black === leg)
  const [charged] = across.flatMap((capacitor) => {
    const last = lastVolts(plan, run, capacitor, until)
    return last?.stands === true && typeof last.read.value === 'number' && Math.abs(last.read.value) <= usualResidualVolts ? [] : [{ ...capacitor, last }]
  })
  const why = `${ref} is off its pad, the preparation did not empty it, and a charge would read as a plausible value.`
  if (across.length === 0) return `${why} Its other end has no test point, so that DC volts cannot be read across it. Take it out, discharge it through a resistor, and measure it off the board.`
  if (charged === undefined) return null
  const { tips: { red, black }, last } = charged
  const read = last?.stands === true ? ` Last it read ${valueInWords(last.read.value, 'dc-voltage', last.read.unit, last.read.resolution)} DC.` : ''
  return `${why}${read} Discharge it through a resistor, then measure DC volts here, red on ${tipName(plan.board, red)}, black on ${tipName(plan.board, black)}: within ± ${valueInWords(usualResidualVolts, 'dc-voltage', 'V', null)} it counts as empty.`
}

/** Why only DC volts may be read at these places now: a capacitor off its pad may be charged. Null: none is, or it read 0 V since it was lifted. @param until number of an event. */
export const refusalOfCharge = (plan: Plan, run: RunState, tips: readonly string[], until = Infinity): string | null => tips.flatMap((id) => {
  const part = partOfLeg(plan.board, id)?.part
  const refused = part?.kind === 'capacitor' ? refusalOfLeg(plan, run, id, part.ref, until) : null
  return refused === null ? [] : [refused]
})[0] ?? null

/** Of a placement elsewhere: its legs are lifted, and none is of a capacitor that may be charged. @param until number of an event. */
export const canBeRead = (plan: Plan, run: RunState, step: MeasurePlanStep, until = Infinity): boolean => {
  const at = onTestPoints(step.placement)
  if (at === null) return false
  const tips = [at.red, at.black]
  const legs = legsOf(boardStateOf(plan, run, until))
  return tips.every((id) => !isLeg(id) || legs.some((leg) => leg.id === id)) && (step.function === 'dc-voltage' || refusalOfCharge(plan, run, tips, until) === null)
}
