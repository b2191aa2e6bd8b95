/** The functions of SCPI-1999 as SENSe:FUNCtion and CONFigure name them, and which of ours each measures. */
import type { MeterDescription } from '../description'
import type { MeterFunction } from '../reading'

/** Short forms, from memory of SCPI-1999, volume 2, chapters 3 (MEASure) and 18 (SENSe); frequency and capacitance as instruments commonly add them. */
export const scpiNames: Record<string, MeterFunction> = {
  'VOLT': 'dc-voltage', 'VOLT:AC': 'ac-voltage', 'RES': 'resistance', 'CONT': 'continuity', 'DIOD': 'diode', 'CAP': 'capacitance',
  'FREQ': 'frequency', 'TEMP': 'temperature', 'CURR': 'dc-current', 'CURR:AC': 'ac-current',
}

export const scpiProblems = ({ functions }: MeterDescription): { field: string; message: string }[] =>
  Object.entries(functions).flatMap(([key, { is }]) => {
    const known = scpiNames[key]
    if (known === undefined) return [{ field: `functions.${key}`, message: `"functions.${key}" is no function of SCPI known here; the names are ${Object.keys(scpiNames).join(', ')}.` }]
    return known === is ? [] : [{ field: `functions.${key}.is`, message: `"functions.${key}.is" must be "${known}": that is what ${key} measures.` }]
  })
