/** What became of an export on the desktop is said, against the stand-in for electron. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openDesktop } from './open-desktop'
import { bridgeOf } from './stand-in/preload'

const later = closeAfterEach()

describe('a file to be saved from the window', () => {
  it('is said to be saved only when it is, and where; cancelled or failed is said as well', async () => {
    const { world, window } = await openDesktop(later)
    const said: unknown[] = []
    later(bridgeOf(window().webContents).listen((text) => {
      const { event, payload } = JSON.parse(text) as { event?: string; payload: unknown }
      if (event === 'message') said.push(payload)
    }))
    world.saves('probewright_2-runs.csv', '/home/bench/probewright_2-runs.csv', 'completed')
    world.saves('probewright_2-runs.csv', '', 'cancelled')
    world.saves('probewright_2-runs.csv', '/media/stick/probewright_2-runs.csv', 'interrupted')
    expect(said).toEqual([
      { kind: 'note', text: 'probewright_2-runs.csv was saved as /home/bench/probewright_2-runs.csv.' },
      { kind: 'note', text: expect.stringMatching(/^probewright_2-runs\.csv was not saved: the saving was cancelled\./) },
      { kind: 'problem', text: expect.stringMatching(/^probewright_2-runs\.csv could not be saved\. /) },
    ])
  })
})
