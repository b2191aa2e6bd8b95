/** On the message line while two points are chosen to measure elsewhere: both leads, the dial, and what each key does. */
import type { JSX } from 'react'
import { Sign } from '../app/sign'
import { letGo } from '../keys/let-go'
import { useKeys, type Heard } from '../keys/use-keys'
import type { Elsewhere, Lead } from './use-elsewhere'

export const ElsewhereBar = ({ chosen, heard }: { chosen: Elsewhere; /** Scanned codes, as on the bench. */ heard: Heard }): JSX.Element => {
  const { lead, pointed, dial, fault, turn, measure, close } = chosen
  useKeys(chosen.bindings, heard)
  return (
    <div className="inline-ask elsewhere-bar" role="group" aria-label="Measure elsewhere">
      <span className="inline-word">Measure elsewhere</span>
      <LeadChip which="red" digit={1} chosen={chosen} />
      <LeadChip which="black" digit={2} chosen={chosen} />
      <button type="button" className="chip" data-testid="elsewhere-dial" onClick={(event) => {
        letGo(event)
        turn()
      }}><kbd>D</kbd>{dial.words}</button>
      {measure !== null && <button type="button" className="chip offered" data-testid="elsewhere-measure" onClick={measure}><kbd>Enter</kbd>measure</button>}
      <button type="button" className="chip" onClick={close}><kbd>Esc</kbd>never mind</button>
      <span className="elsewhere-says" data-testid="elsewhere-says" role="status">
        {fault !== null ? <><Sign name="warn" /> <span>{fault}</span></> : pointed === null ? 'both are chosen' : <><kbd>↑</kbd><kbd>↓</kbd> {lead} on {pointed.name}, {pointed.words}: <kbd>Enter</kbd>takes it, so does a click</>}
      </span>
    </div>
  )
}

const LeadChip = ({ which, digit, chosen }: { which: Lead; digit: number; chosen: Elsewhere }): JSX.Element => {
  const point = chosen[which]
  return (
    <button type="button" className={`chip hand-lead hand-${which}`} data-testid={`elsewhere-${which}`} aria-pressed={chosen.lead === which} onClick={(event) => {
      letGo(event)
      chosen.choose(which)
    }}>
      <kbd>{digit}</kbd>
      <svg viewBox="0 0 20 20" aria-hidden="true">{which === 'red' ? <circle cx="10" cy="10" r="7.2" /> : <rect x="3" y="3" width="14" height="14" />}</svg>
      {which} {point === null ? 'where?' : `on ${point.name}`}
    </button>
  )
}
