import { describe, expect, it } from 'vitest'
import { usualDataFolder } from '../../../src-main/start/data-folder'
import { desktopArguments, readOptions } from '../../../src-main/start/options'

describe('the options of npm start', () => {
  it('say nothing unless told', () => {
    expect(readOptions([])).toEqual({
      host: null, dataFolder: usualDataFolder(), port: null, open: true, fetch: false, practice: null, help: false, fromStart: false,
    })
  })

  it('are read', () => {
    const given = '--host browser --port 0 --no-open --data D --practice auto --seed 7 --fault R4:open --fault D2:short'
    expect(readOptions(given.split(' '))).toMatchObject({
      host: 'browser', port: 0, open: false, dataFolder: 'D', practice: { seed: 7, faults: ['R4:open', 'D2:short'] },
    })
    expect(readOptions(['--practice', 'auto']).practice).toEqual({})
  })

  it.each<[string[], RegExp]>([
    [['--host', 'phone'], /^--host phone: must be “desktop” or “browser”\.$/], [['--practice', 'slow'], /^--practice slow: must be/],
    [['--port', '70000'], /^--port 70000: must be a whole number from 0 to 65535\.$/],
    [['--port', '1.5'], /whole number/], [['--port', ''], /whole number/],
    [['--practice', 'auto', '--seed', '-1'], /seed/], [['--seed', '3'], /need --practice auto/],
    [['--fault', 'R4:open'], /need --practice auto/],
    [['--nonsense'], /nonsense/], [['stray'], /stray/],
  ])('%j are refused in plain words', (args, words) => {
    expect(() => readOptions(args)).toThrow(words)
  })

  it('come through to the desktop whole, past whatever Electron puts among them, none looking like an address', () => {
    const given = readOptions(['--data', 'C:\\bench data', '--practice', 'auto', '--seed', '7', '--fault', 'R4:open'])
    const handed = desktopArguments(given)
    // A word with a colon behind letters would look like an address: Electron on Windows takes no option behind one (from memory).
    expect(handed.filter((word) => /^[a-z][^\s:]+:/i.test(word))).toEqual([])
    expect(readOptions(['--enable-logging', '--inspect=0', '/the/app', ...handed, '--allow-file-access-from-files'], false))
      .toEqual({ ...given, fromStart: true })
    expect(desktopArguments(readOptions([]))).toEqual(['--from-start', `--data=${usualDataFolder()}`])
  })

  it('of the desktop leave what Electron adds alone, and are checked all the same', () => {
    expect(readOptions(['--type=renderer', '-psn_0_1', 'x'], false).practice).toBeNull()
    expect(() => readOptions(['--practice=slow'], false)).toThrow(/must be/)
  })
})
