/** The built main process against a stand-in for electron: what a page may not do, whatever got into it. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openDesktop } from './open-desktop'
import type { World } from './stand-in/window'

const later = closeAfterEach()
const own = 'probewright://app/'
const elsewhere = [
  'https://example.org/', 'http://127.0.0.1:8080/', 'file:///etc/passwd', 'data:text/html,hello', 'javascript:alert(1)', 'about:blank',
  'probewright://app/other.html', 'probewright://apple/', 'probewright://app.example/', 'probewright:app/',
]

describe('the desktop’s pages', () => {
  it.each(['will-navigate', 'will-frame-navigate', 'will-redirect'] as const)('go nowhere else: %s', async (event) => {
    const { window } = await openDesktop(later)
    expect(elsewhere.filter((url) => window().webContents.tries(event, url))).toEqual([])
    expect(window().webContents.tries(event, own)).toBe(true)
  })

  it('open no other window, and hold no web view', async () => {
    const { window } = await openDesktop(later)
    const { webContents } = window()
    expect([own, ...elsewhere].map((url) => webContents.openHandler?.({ url }).action)).toEqual(Array(elsewhere.length + 1).fill('deny'))
    expect(webContents.tries('will-attach-webview', own)).toBe(false)
  })

  it('are held the same when a page comes up that the app never made', async () => {
    const { world, window } = await openDesktop(later)
    const stranger = new (window().webContents.constructor as new (world: World) => ReturnType<typeof window>['webContents'])(world)
    world.contentsCreated(stranger)
    expect(stranger.tries('will-navigate', 'https://example.org/')).toBe(false)
    expect(stranger.openHandler?.({ url: own }).action).toBe('deny')
  })

  it('get no permission but the screen wake lock and a camera without a microphone, and those only at the app’s own address', async () => {
    const { world, window } = await openDesktop(later)
    const asked = (permission: string, url: string, media: readonly string[] = []): boolean[] => {
      let answer: boolean | null = null
      world.permissionRequest?.({ getURL: () => url }, permission, (given) => { answer = given }, media.length === 0 ? {} : { mediaTypes: media })
      const checked = world.permissionCheck?.(window().webContents, permission, url, media.length === 0 ? {} : { mediaType: media.at(-1) })
      if (answer === null || checked === undefined) throw new Error(`${permission} was not answered`)
      return [answer, checked]
    }
    for (const permission of [
      'media', 'geolocation', 'notifications', 'clipboard-read', 'serial', 'usb', 'hid', 'midi', 'fileSystem', 'openExternal',
      'display-capture', 'fullscreen', 'pointerLock', 'system-wake-lock', 'unknown', 'a permission of a later Chromium',
    ]) expect(asked(permission, own), permission).toEqual([false, false])
    expect(asked('screen-wake-lock', own)).toEqual([true, true])
    expect(asked('screen-wake-lock', 'https://example.org/')).toEqual([false, false])
    expect(asked('screen-wake-lock', '')).toEqual([false, false])
    expect(asked('media', own, ['video'])).toEqual([true, true])
    expect(asked('media', own, ['audio'])).toEqual([false, false])
    expect(asked('media', own, ['video', 'audio'])).toEqual([false, false])
    expect(asked('media', own, ['unknown'])).toEqual([false, false])
    expect(asked('media', 'https://example.org/', ['video'])).toEqual([false, false])
    expect(world.devicePermission?.()).toBe(false)
  })

  it('load nothing from a network or from a disk', async () => {
    const { world } = await openDesktop(later)
    const cancelled = (url: string): boolean | undefined => {
      let cancel: boolean | undefined
      world.beforeRequest?.({ url }, (what) => { cancel = what.cancel })
      return cancel
    }
    const outside = ['https://example.org/a.js', 'HTTP://example.org/', 'ws://127.0.0.1:1/', 'wss://example.org/', 'file:///etc/passwd']
    expect(outside.map(cancelled)).toEqual(outside.map(() => true))
    expect([own, `${own}assets/index.js`].map(cancelled)).toEqual([false, false])
  })
})
