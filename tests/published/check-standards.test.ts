/** The criterion of a check against the E_n number of ISO 13528:2022, 9.7, and ISO/IEC 17043 (clause from memory). */
import { describe, expect, it } from 'vitest'
import { judgeCheck } from '../../src-core/metrology/check-standards'

/** E_n = (x − x_ref) / √(U² + U_ref²), both expanded uncertainties at k = 2; |E_n| ≤ 1 is satisfactory. */
const enNumber = (x: number, xRef: number, U: number, Uref: number): number => (x - xRef) / Math.sqrt(U ** 2 + Uref ** 2)

describe('ISO 13528:2022, 9.7', () => {
  it('a check is good exactly where |E_n| ≤ 1', () => {
    const seen = { good: 0, failed: 0 }
    for (let step = -40; step <= 40; step += 1) {
      for (const [U, Uref] of [[0.3, 0.4], [1.2, 0.1], [0.05, 1.2]] as const) {
        const x = 100 + step * 0.0371
        const standard = { kind: 'resistor', label: 'CR-1', certificateNumber: 'L-1', value: 100, U: Uref, calibrated: '2026-01-01', due: '2027-01-01' } as const
        const check = judgeCheck(standard, { id: 'a', utc: '2026-06-01T00:00:00.000Z', meter: 'm', run: 'r', conversions: 5, value: x, U })
        expect(check.good, `${x} ${U} ${Uref}`).toBe(Math.abs(enNumber(x, 100, U, Uref)) <= 1)
        seen[check.good ? 'good' : 'failed'] += 1
      }
    }
    expect(seen.good).toBeGreaterThan(50)
    expect(seen.failed).toBeGreaterThan(50)
  })
})
