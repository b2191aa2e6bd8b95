/** A linked meter is named once. */
import { describe, expect, it } from 'vitest'
import { saidOnce } from '../../src-renderer/start/said-once'

describe('a linked meter', () => {
  it('named after its description and port is not described again', () => {
    expect(saidOnce('Line meter A on /dev/ttyUSB0', 'Line meter A', '/dev/ttyUSB0')).toEqual({ name: 'Line meter A on /dev/ttyUSB0', about: '' })
  })

  it('with a name of its own is described in full', () => {
    expect(saidOnce('Bench 2', 'Line meter A', '/dev/ttyUSB0').about).toBe('Line meter A at /dev/ttyUSB0')
  })

  it('that moved to another port says the new one', () => {
    expect(saidOnce('Line meter A on /dev/ttyUSB0', 'Line meter A', '/dev/ttyUSB1').about).toBe('at /dev/ttyUSB1')
  })
})
