/** The number of a record: its first part names the shop's chain of records, its second counts them. */

/** Eight hex digits of the chain's id; chains begun with four keep theirs. */
export const recordNumberPattern = /^[0-9A-F]{4}(?:[0-9A-F]{4})?-\d{6,}$/

const counted = (sequence: number): string => String(sequence).padStart(6, '0')

/** "3F9A2C11-000001". @param before the number of the chain's last record; null: this is the first. */
export const recordNumber = (chain: string, sequence: number, before: string | null): string =>
  `${before?.split('-')[0] ?? chain.slice(0, 8).toUpperCase()}-${counted(sequence)}`

/** Whether a number is what its chain and its place in it make it. */
export const numberFits = (number: string, { id, sequence }: { id: string; sequence: number }): boolean =>
  [4, 8].some((digits) => number === `${id.slice(0, digits).toUpperCase()}-${counted(sequence)}`)
