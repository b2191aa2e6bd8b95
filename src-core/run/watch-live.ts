/** A watch while it runs: its state line, what it has seen so far, and its pitch. */
import { isLifted, isOut, watchedFor, watchedUntil, type WatchState } from '../capture/watch'
import { isSilent } from '../capture/silence'
import { paceOf } from '../capture/pace'
import { unitOf } from '../meter/reading'
import { inWords } from '../quantity/engineering'
import type { Seconds } from '../quantity/units'
import { currentStep, type Bench } from './bench'
import { pitchOf } from './pitch'
import { hasLimits, type JudgedStep } from './plan'
import type { LiveView } from './view'
import { dropoutsInWords } from './watch-words'
import { dialWords, modeWords, settingLine, type StateLine } from './words'

/** A press ends it once there is something to judge. Our choice. */
const worthSeconds = 5

export const watchLine = (watch: WatchState, step: JudgedStep, lasts: number | null, setByApp: boolean, at: Seconds): StateLine => {
  const line = (state: string, tone: StateLine['tone'], wants: StateLine['wants']): StateLine => ({ state, tone, wants, beads: null })
  if (watch.charged) return line('board is charged: stop', 'stop', 'nothing')
  if (watch.obstacle !== null) {
    if (watch.obstacle.kind === 'mode') return line(modeWords(watch.obstacle.flag), 'warn', 'dial')
    return setByApp ? settingLine(step.function) : line(`turn the dial to ${dialWords[step.function]}`, 'warn', 'dial')
  }
  if (isSilent(watch.clock, at, paceOf(watch).seconds)) return line('meter silent', 'stop', 'nothing')
  if (watch.since === null) return isLifted(watch) ? line('touch both points', 'ask', 'touch') : line('lift the leads', 'ask', 'lift')
  if (isOut(watch)) return line('no contact: hold the tips on', 'warn', 'hold')
  const press = lasts === null && watchedFor(watch, at) >= worthSeconds
  return line(press ? 'following: press when done' : 'following', 'good', press ? 'confirm' : 'hold')
}

/** Nothing where no watch runs. */
export const watchNow = (bench: Bench, at: Seconds): Pick<LiveView, 'watch'> => {
  const { watch } = bench
  const step = currentStep(bench)
  if (watch === null || step?.kind !== 'measure' || step.purpose?.kind !== 'watch' || !hasLimits(step)) return {}
  const { minimum, maximum, dropouts } = watchedUntil(watch, at)
  const words = (extreme: typeof minimum): string => (extreme === null ? '–' : inWords(extreme.value, unitOf[step.function], extreme.count))
  const ran = watchedFor(watch, at)
  const { seconds: lasts } = step.purpose
  return {
    watch: {
      minimum: words(minimum), maximum: words(maximum), dropouts: dropoutsInWords(dropouts),
      time: lasts === null ? `${Math.floor(ran)} s` : `${Math.max(0, Math.ceil(lasts - ran))} s left`,
      pitch: isSilent(watch.clock, at, paceOf(watch).seconds) ? null : pitchOf(step, watch),
    },
  }
}
