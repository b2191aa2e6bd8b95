/** What the practising hand does with leads and dial. */
import type { MeterFunction } from '../../../src-core/meter/reading'

export type FixtureName = 'leads-joined' | 'leads-apart' | 'known-diode' | 'known-source'
/** On two test points of the board, on a fixture of the bench kit, or in the air. */
export type Tips = { leads: { red: string; black: string } } | { fixture: FixtureName; reversed: boolean } | 'lifted'
export type Hand = { tips: Tips; function: MeterFunction }

export const sameTips = (a: Tips, b: Tips): boolean => {
  if (a === 'lifted' || b === 'lifted') return a === b
  if ('leads' in a) return 'leads' in b && a.leads.red === b.leads.red && a.leads.black === b.leads.black
  return 'fixture' in b && a.fixture === b.fixture && a.reversed === b.reversed
}

/** Nothing joins the leads. */
export const inTheAir = (tips: Tips): boolean => tips === 'lifted' || ('fixture' in tips && tips.fixture === 'leads-apart')
