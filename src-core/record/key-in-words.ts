/** A public key as people compare it. */

/** The hex of a key in groups, as it is compared by eye. */
export const keyInWords = (publicKey: string): string => (publicKey.match(/.{8}/g) ?? []).join(' ')
