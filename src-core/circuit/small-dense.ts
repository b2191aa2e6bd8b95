/** Dense elimination of the few unknowns of a low-rank update, in place. */

/** Below this share of its row a pivot has lost too many digits. */
const leastPivot = 1e-8

/**
 * Solves A·x = b of `size` unknowns, rows of A `stride` apart; b becomes x. Partial pivoting (Golub and Van Loan, Matrix Computations,
 * algorithm 3.4.1; from memory). False where a pivot is too small to trust.
 */
export const solveSmall = (matrix: Float64Array, stride: number, right: Float64Array, size: number): boolean => {
  for (let column = 0; column < size; column += 1) {
    let pivot = column
    let largest = Math.abs(matrix[column * stride + column] as number)
    for (let row = column + 1; row < size; row += 1) {
      const head = Math.abs(matrix[row * stride + column] as number)
      if (head > largest) { largest = head; pivot = row }
    }
    if (!(largest > leastPivot)) return false
    if (pivot !== column) {
      for (let at = column; at < size; at += 1) {
        const held = matrix[column * stride + at] as number
        matrix[column * stride + at] = matrix[pivot * stride + at] as number
        matrix[pivot * stride + at] = held
      }
      const held = right[column] as number
      right[column] = right[pivot] as number
      right[pivot] = held
    }
    const head = matrix[column * stride + column] as number
    for (let row = column + 1; row < size; row += 1) {
      const factor = (matrix[row * stride + column] as number) / head
      if (factor === 0) continue
      for (let at = column + 1; at < size; at += 1) {
        matrix[row * stride + at] = (matrix[row * stride + at] as number) - factor * (matrix[column * stride + at] as number)
      }
      right[row] = (right[row] as number) - factor * (right[column] as number)
    }
  }
  for (let row = size - 1; row >= 0; row -= 1) {
    let sum = right[row] as number
    for (let at = row + 1; at < size; at += 1) sum -= (matrix[row * stride + at] as number) * (right[at] as number)
    right[row] = sum / (matrix[row * stride + row] as number)
  }
  return true
}
