/**
 * Nodal equations of two-terminal conductances by star-mesh elimination: each net in turn is replaced by the conductances it leaves between
 * its neighbours. Nothing is ever subtracted, so 0.05 Ω beside 10 MΩ costs no digits and no pivoting is needed (Grassmann, Taksar and
 * Heyman 1985 for Markov chains; from memory).
 */

/**
 * `siemens` is the upper triangle of pairwise conductances of `size` nets and is overwritten; `reference` is the net at 0 V. Leaves the
 * elimination in `siemens`, `ground` and `sums` for `substitute`. False where a net has no conductance left to anything.
 */
export const eliminate = (siemens: Float64Array, size: number, reference: number, ground: Float64Array, sums: Float64Array): boolean => {
  for (let net = 0; net < reference; net += 1) {
    ground[net] = siemens[net * size + reference] as number
    siemens[net * size + reference] = 0
  }
  for (let net = reference + 1; net < size; net += 1) {
    ground[net] = siemens[reference * size + net] as number
    siemens[reference * size + net] = 0
  }
  for (let net = 0; net < size; net += 1) {
    if (net === reference) continue
    const row = net * size
    const toGround = ground[net] as number
    let sum = toGround
    for (let other = net + 1; other < size; other += 1) sum += siemens[row + other] as number
    if (!(sum > 0)) return false
    sums[net] = sum
    for (let one = net + 1; one < size; one += 1) {
      const joined = siemens[row + one] as number
      if (joined === 0) continue
      const share = joined / sum
      ground[one] = (ground[one] as number) + share * toGround
      const target = one * size
      for (let other = one + 1; other < size; other += 1) {
        siemens[target + other] = (siemens[target + other] as number) + share * (siemens[row + other] as number)
      }
    }
  }
  return true
}

/** Volts at each net for `amperes` driven into them (overwritten), after `eliminate`. */
export const substitute = (
  siemens: Float64Array, size: number, reference: number, sums: Float64Array, amperes: Float64Array, volts: Float64Array,
): void => {
  for (let net = 0; net < size; net += 1) {
    const driven = amperes[net] as number
    if (net === reference || driven === 0) continue
    const row = net * size
    const scaled = driven / (sums[net] as number)
    for (let other = net + 1; other < size; other += 1) amperes[other] = (amperes[other] as number) + (siemens[row + other] as number) * scaled
  }
  volts[reference] = 0
  for (let net = size - 1; net >= 0; net -= 1) {
    if (net === reference) continue
    const row = net * size
    let sum = amperes[net] as number
    for (let other = net + 1; other < size; other += 1) sum += (siemens[row + other] as number) * (volts[other] as number)
    volts[net] = sum / (sums[net] as number)
  }
}
