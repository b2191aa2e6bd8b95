/** How many boards with hidden faults say how good the diagnosis is. */
export const scoredCount = 1000
