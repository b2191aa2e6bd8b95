/** The built main process against a stand-in for electron: what its own scheme answers. */
import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { root } from '../bench-tools/running-app'
import { answerHeaders } from '../../src-main/service/assets'
import { openDesktop, type Desktop } from './open-desktop'
import { bridgeOf } from './stand-in/preload'

const later = closeAfterEach()

const asker = ({ world }: Desktop) => async (path: string, method = 'GET'): Promise<Response> => {
  if (world.serve === null) throw new Error('nothing serves the scheme')
  return world.serve.answer(path.startsWith('/') ? `probewright://app${path}` : path, method)
}

describe('the desktop’s own scheme', () => {
  it('is registered as one with an origin before the app is ready', async () => {
    const { world } = await openDesktop(later)
    expect(world.schemes).toEqual([{ scheme: 'probewright', privileges: { standard: true, secure: true, supportFetchAPI: true } }])
    expect(world.serve?.scheme).toBe('probewright')
  })

  it('serves the built page and all beside it, with the policy and the headers of the browser host', async () => {
    const ask = asker(await openDesktop(later))
    const page = await ask('/')
    expect(page.status).toBe(200)
    for (const [name, value] of Object.entries(answerHeaders)) expect(page.headers.get(name), name).toBe(value)
    expect(page.headers.get('content-security-policy')).toMatch(/^default-src 'none'; script-src 'self'; style-src 'self'/)
    expect(page.headers.get('content-type')).toBe('text/html; charset=utf-8')
    const html = await page.text()
    const beside = [...html.matchAll(/(?:src|href)="\.(\/[^"]+)"/g)].map(([, path = '']) => path)
    expect(beside.length).toBeGreaterThanOrEqual(3)
    for (const path of beside) {
      const answer = await ask(path)
      expect([answer.status, answer.headers.get('x-content-type-options')], path).toEqual([200, 'nosniff'])
    }
    const script = readdirSync(join(root, 'out/renderer/assets')).find((file) => file.endsWith('.js')) ?? ''
    expect((await ask(`/assets/${script}`)).headers.get('content-type')).toBe('text/javascript; charset=utf-8')
    expect((await ask('/?theme=light#top')).status).toBe(200)
  })

  it('answers 404 with the same policy to all it has not, and stays up', async () => {
    const ask = asker(await openDesktop(later))
    for (const path of [
      '/%', '/%E0%A4%A', '/../package.json', '/..%2fpackage.json', '/pictures/../../package.json', '//etc/passwd', '/pictures/none.svg',
      '/exports/none', 'probewright://elsewhere/', 'probewright://app.example/index.html', 'probewright:index.html', 'nonsense']) {
      const answer = await ask(path)
      expect([answer.status, answer.headers.get('content-security-policy')], path).toEqual([404, answerHeaders['Content-Security-Policy']])
    }
    expect((await ask('/', 'POST')).status).toBe(405)
    const head = await ask('/', 'HEAD')
    expect([head.status, (await head.text()).length]).toEqual([200, 0])
    expect((await ask('/')).status).toBe(200)
  })

  it('serves the pictures of the library', async () => {
    const desktop = await openDesktop(later)
    const hello = await bridgeOf(desktop.window().webContents).ask('{"id":1,"command":"hello","input":{}}')
    const { output } = JSON.parse(hello) as { output: { library: { boards: { picture: string }[] } } }
    const pictures = output.library.boards.map(({ picture }) => picture)
    expect(pictures.length).toBeGreaterThan(0)
    for (const picture of pictures) {
      const answer = await asker(desktop)(picture)
      expect([answer.status, answer.headers.get('content-type')]).toEqual([200, 'image/svg+xml'])
      expect(await answer.text()).toMatch(/<svg/)
    }
  })
})
