/** Settings of the bench: kept by the service for every screen, over a restart; bad ones are refused and change nothing. */
import { describe, expect, it } from 'vitest'
import { usualBenchSettings, type BenchSettings } from '../../src-core/settings/bench-settings'
import { plainPress } from '../../src-core/settings/key-press'
import { closeAfter } from '../bench-tools/closers'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openApp, openDataFolder } from '../bench-tools/opened'

const later = closeAfterEach()

const own: BenchSettings = {
  speech: { on: false, rate: 1.4, volume: 0.7 },
  sound: { on: true, loudness: 'loudest', tones: { ...usualBenchSettings.sound.tones, contact: false } },
  keys: [{ action: 'confirm', presses: [plainPress('F13')] }, { action: 'skip', presses: [{ ...plainPress('k'), ctrl: true, alt: true }] }],
  order: 'tells-most',
}

describe('the settings of the bench', () => {
  it('are the usual ones at first, told to every screen when changed, and kept over a restart', async () => {
    const dataFolder = openDataFolder(later)
    await closeAfter(async (before) => {
      const { client } = await openApp(before, { dataFolder })
      expect((await client.ask('hello', {})).settings).toEqual(usualBenchSettings)
      await client.ask('save-settings', own)
      expect(await client.until('settings', () => true)).toEqual(own)
    })
    const { client } = await openApp(later, { dataFolder })
    expect((await client.ask('hello', {})).settings).toEqual(own)
  })

  it('that cannot stand are refused in plain words, and the old ones stay', async () => {
    const { client } = await openApp(later)
    await client.ask('save-settings', own)
    await expect(client.ask('save-settings', { ...own, keys: [...own.keys, { action: 'back', presses: [plainPress('F13')] }] }))
      .rejects.toThrow('F13 is bound to “confirm” and “back”. One key does one thing.')
    await expect(client.ask('save-settings', { ...own, speech: { ...own.speech,
      rate: 40 } })).rejects.toThrow(/“save-settings” was not understood: speech\.rate/)
    expect((await client.ask('hello', {})).settings).toEqual(own)
  })
})
