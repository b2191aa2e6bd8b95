/** Which capacitors a capacitance function sees between two nets, and where it cannot be said. */
import { inWords } from '../quantity/engineering'
import type { Capacitance, Network } from './elements'
import { readerFor } from './expected-reading'
import type { MeterDrives } from './meter-drive'
import { read, sharesAcross } from './read'

/** With less than this across it, a capacitor is discharged while the meter charges it. Common practice, no source; meters differ. */
export const leastOhmsBeside = 1000
/** What capacitors elsewhere may add, as a share of those straight across. Our choice. */
const mostElsewhere = 0.02
/** Of a usual meter, F. Common practice, no source. */
export const mostFarads = 0.06

export type CapacitorsBetween = { ok: true; straight: Capacitance[]; farads: number } | { ok: false; because: string }

const joins = ({ from, to }: Capacitance, a: string, b: string): boolean => (from === a && to === b) || (from === b && to === a)

/**
 * Those straight across, F. What others add is their farads times the square of the share of the tips' voltage that settles on them: the first-order term
 * of the admittance of a network of resistances and capacitances, by Tellegen's theorem (from memory). How much of it a meter sees depends on how
 * fast it charges, so that more than a little of it is refused.
 */
export const capacitorsBetween = (network: Network, red: string, black: string, drives?: MeterDrives): CapacitorsBetween => {
  const all = network.elements.filter((element) => element.kind === 'capacitance')
  const straight = all.filter((one) => joins(one, red, black))
  if (straight.length === 0) return { ok: false, because: `no capacitor lies straight across ${red} and ${black}` }
  const reader = readerFor(network)
  const across = read(reader, red, black, 'resistance', drives)
  if (!across.ok) return { ok: false, because: across.because }
  if (across.value !== 'overload' && across.value < leastOhmsBeside) {
    return { ok: false, because: `${inWords(Number(across.value.toPrecision(3)), 'Ω', null)} lie across ${red} and ${black}, less than ${inWords(leastOhmsBeside, 'Ω', null)}: not computed` }
  }
  const farads = straight.reduce((sum, one) => sum + one.farads, 0)
  const others = all.filter((one) => !joins(one, red, black) && one.from !== one.to)
  const shares = sharesAcross(reader, red, black, others.map(({ from, to }): [string, string] => [from, to]), drives)
  const added = others.map((one, at) => ({ part: one.part, farads: one.farads * (shares[at] ?? 0) ** 2 }))
  if (added.reduce((sum, one) => sum + one.farads, 0) > mostElsewhere * farads) {
    const most = added.reduce((best, one) => (one.farads > best.farads ? one : best))
    return { ok: false, because: `${most.part} is charged through other parts along with ${straight.map(({ part }) => part).join(' and ')}: not computed` }
  }
  return { ok: true, straight, farads }
}
