import { describe, expect, it } from 'vitest'
import { chooseHost, type StartFacts } from '../../../src-main/start/host-choice'

const bench: StartFacts = { asked: null, wantsAddress: false, platform: 'linux', root: false, display: true, runtime: '/runtime/electron' }

describe('npm start opens', () => {
  it.each<[string, Partial<StartFacts>]>([
    ['on Linux with a display', {}], ['on Windows', { platform: 'win32', display: false }],
    ['on macOS', { platform: 'darwin', display: false }],
    ['when it is asked for', { asked: 'desktop' }],
  ])('the desktop where its runtime is here: %s', (_where, facts) => {
    expect(chooseHost({ ...bench, ...facts })).toEqual({ host: 'desktop', executable: '/runtime/electron' })
  })

  it.each<[string, Partial<StartFacts>, string]>([
    ['without the runtime', { runtime: null },
      'In your browser, because the desktop’s runtime is not here yet; “npm run desktop” fetches it.'],
    ['without a display', { display: false },
      'In your browser, because there is no display here (neither DISPLAY nor WAYLAND_DISPLAY is set).'],
    ['as root', { root: true }, 'In your browser, because the desktop does not run as root: its sandbox needs an ordinary account.'],
    ['as root, whatever else is missing', { root: true, display: false, runtime: null },
      'In your browser, because the desktop does not run as root: its sandbox needs an ordinary account.'],
  ])('the browser %s, and says why in one line', (_where, facts, because) => {
    expect(chooseHost({ ...bench, ...facts })).toEqual({ host: 'browser', because })
    expect(because).not.toContain('\n')
  })

  it('the browser without a word when it is asked for, or an address is wanted', () => {
    expect(chooseHost({ ...bench, asked: 'browser' })).toEqual({ host: 'browser', because: null })
    expect(chooseHost({ ...bench, wantsAddress: true })).toEqual({ host: 'browser', because: null })
    expect(chooseHost({ ...bench, asked: 'browser', wantsAddress: true, runtime: null })).toEqual({ host: 'browser', because: null })
  })

  it.each<[string, Partial<StartFacts>, RegExp]>([
    ['without the runtime', { runtime: null },
      /runtime is not here yet; “npm run desktop” fetches it\. Run npm start: the app then opens in your browser/],
    ['without a display', { display: false }, /no display here/], ['as root', { root: true }, /does not run as root/],
    ['with an address wanted', { wantsAddress: true }, /--port and --no-open belong to the browser host/],
  ])('nothing where the desktop is forced and cannot be: %s', (_where, facts, because) => {
    expect(chooseHost({ ...bench, asked: 'desktop', ...facts })).toEqual({ host: 'none', because: expect.stringMatching(because) })
  })

  it('a window as root on Windows and macOS too: only Linux ties the sandbox to the account', () => {
    expect(chooseHost({ ...bench, platform: 'darwin', root: true }).host).toBe('desktop')
  })
})
