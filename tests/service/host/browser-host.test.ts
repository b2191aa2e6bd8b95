import { mkdtempSync, rmSync } from 'node:fs'
import { request as httpRequest } from 'node:http'
import { connect } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { WebSocket } from 'ws'
import { openClient } from '../../bench-tools/contract-client'
import { root } from '../../bench-tools/running-app'
import { openBrowserHost, type BrowserHost } from '../../../src-main/browser-host'
import { openService, type Service } from '../../../src-main/service/service'

let folder: string
let service: Service
let host: BrowserHost
let port: number
const faults: unknown[] = []

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'probewright-host-'))
  service = openService({ dataFolder: folder, builtInFolder: join(root, 'fixtures'), pageFolder: join(root, 'out/renderer'), workerFile: join(root, 'out/main/worker.js'), version: '0', report: (error) => faults.push(error) })
  host = await openBrowserHost(0, service.dispatcher, service.assets)
  port = host.port
})
afterAll(async () => {
  await host.close()
  service.close()
  rmSync(folder, { recursive: true, force: true })
})

const get = (path: string, headers: Record<string, string> = {}, method = 'GET'): Promise<{ status: number; headers: Record<string, unknown> }> =>
  new Promise((resolve, reject) => {
    const asked = httpRequest({ host: '127.0.0.1', port, path, method, headers: { host: `127.0.0.1:${port}`, ...headers } }, (response) => {
      response.resume()
      resolve({ status: response.statusCode ?? 0, headers: response.headers })
    })
    asked.on('error', reject)
    asked.end()
  })

const refused = (url: string, options: { origin?: string; headers?: Record<string, string> }): Promise<number> =>
  new Promise((resolve) => {
    const socket = new WebSocket(url, options)
    socket.on('unexpected-response', (_request, response) => { resolve(response.statusCode ?? 0); socket.terminate() })
    socket.on('error', () => undefined)
    socket.on('open', () => { resolve(101); socket.close() })
  })

const token = (): string => new URL(host.address).hash.slice(1)
const own = (): string => `http://127.0.0.1:${port}`

describe('the browser host', () => {
  it('serves its page only to its own Host and Origin, with a strict policy', async () => {
    const page = await get('/')
    expect(page.status).toBe(200)
    expect(page.headers['content-security-policy']).toMatch(/default-src 'none'/)
    expect((await get('/', { host: 'evil.example' })).status).toBe(403)
    expect((await get('/', { origin: 'http://evil.example' })).status).toBe(403)
    expect((await get('/', {}, 'POST')).status).toBe(405)
  })

  it('answers a malformed path with 404 and stays up', async () => {
    for (const path of ['/%', '/%E0%A4%A', '/../package.json', '/..%2fpackage.json', '/pictures/../../package.json', '//etc/passwd']) {
      expect((await get(path)).status).toBe(404)
    }
    expect((await get('/')).status).toBe(200)
  })

  it('opens the contract to nobody without this start’s token, or from another page', async () => {
    const url = `ws://127.0.0.1:${port}/contract`
    expect(await refused(url, { origin: own() })).toBe(403)
    expect(await refused(`${url}?token=${'x'.repeat(32)}`, { origin: own() })).toBe(403)
    expect(await refused(`${url}?token=${token()}`, { origin: 'http://evil.example' })).toBe(403)
    expect(await refused(`${url}?token=${token()}`, {})).toBe(403)
    expect(await refused(`${url}?token=${token()}`, { origin: own() })).toBe(101)
  })

  it('gives a picture only with the token', async () => {
    const client = await openClient(host.address)
    const { library } = await client.ask('hello', {})
    client.close()
    const picture = library.boards[0]?.picture ?? ''
    expect(picture).toMatch(/^\/pictures\/[0-9a-f]{64}\.svg$/)
    expect((await get(picture)).status).toBe(404)
    expect((await get(`${picture}?token=${token()}`)).status).toBe(200)
  })

  it('gives an export once, as a file to be saved, and only with the token', async () => {
    const path = service.assets.offer({ name: 'probewright_2-runs_20260314-0800Z.csv', type: 'text/csv; charset=utf-8', bytes: Buffer.from('run\r\n') }) ?? ''
    expect((await get(path)).status).toBe(404)
    expect((await get(`${path}?token=${'x'.repeat(32)}`)).status).toBe(404)
    expect((await get(`${path}?token=${token()}`, {}, 'HEAD')).status).toBe(404)
    const file = await get(`${path}?token=${token()}`)
    expect([file.status, file.headers['content-type'], file.headers['content-disposition']])
      .toEqual([200, 'text/csv; charset=utf-8', 'attachment; filename="probewright_2-runs_20260314-0800Z.csv"'])
    expect((await get(`${path}?token=${token()}`)).status).toBe(404)
  })

  it('survives oversized, binary and broken messages', async () => {
    const socket = new WebSocket(`ws://127.0.0.1:${port}/contract?token=${token()}`, { origin: own() })
    await new Promise((resolve) => socket.once('open', resolve))
    const answers: { error?: string }[] = []
    socket.on('message', (data: Buffer) => answers.push(JSON.parse(data.toString()) as { error?: string }))
    socket.on('error', () => undefined)
    for (const message of ['{', 'null', '{"id":1}', '{"id":1,"command":"constructor","input":{}}', '{"id":1,"command":"press","input":{"key":"launch"}}']) socket.send(message)
    socket.send(Buffer.from([1, 2, 3]))
    await expect.poll(() => answers.filter((answer) => answer.error !== undefined).length).toBe(6)
    const closed = new Promise((resolve) => socket.once('close', resolve))
    socket.send('x'.repeat(1024 * 1024))
    await closed
    expect((await get('/')).status).toBe(200)
  })

  it('survives raw noise on its port, and half a request', async () => {
    for (const noise of ['\0\0\0\0', 'GET / HTTP/9.9\r\n\r\n', 'GET /contract HTTP/1.1\r\nUpgrade: websocket\r\n']) {
      await new Promise<void>((resolve) => {
        const raw = connect(port, '127.0.0.1', () => { raw.write(noise); setTimeout(() => { raw.destroy(); resolve() }, 30) })
        raw.on('error', () => { resolve() })
      })
    }
    expect((await get('/')).status).toBe(200)
    expect(faults).toEqual([])
  })

  it('cuts off a screen that does not read, and no other', async () => {
    const url = `ws://127.0.0.1:${port}/contract?token=${token()}`
    const screens = [new WebSocket(url, { origin: own() }), new WebSocket(url, { origin: own() })] as const
    const received = [0, 0]
    await Promise.all(screens.map((screen, k) => new Promise<void>((resolve) => {
      screen.on('message', () => { received[k] = (received[k] ?? 0) + 1 })
      screen.on('error', () => undefined)
      screen.once('open', () => { resolve() })
    })))
    const [deaf, reading] = screens
    const cutOff = new Promise<number>((resolve) => { deaf.once('close', resolve) })
    deaf.pause()
    const megabyte = 'x'.repeat(1024 * 1024)
    const sent = 40
    for (let k = 1; k <= sent; k += 1) {
      service.dispatcher.publish('message', { kind: 'note', text: megabyte })
      await expect.poll(() => received[1], { interval: 2 }).toBe(k)
    }
    deaf.resume()
    expect(await Promise.race([cutOff, new Promise((resolve) => { setTimeout(resolve, 3000, 'still open') })])).toBe(1006)
    expect(received[0]).toBeLessThan(sent)
    expect(reading.readyState).toBe(WebSocket.OPEN)
    reading.terminate()
  })

  it('is one program for one data folder, and says so', () => {
    expect(() => openService({ dataFolder: folder, builtInFolder: join(root, 'fixtures'), pageFolder: join(root, 'out/renderer'), workerFile: join(root, 'out/main/worker.js'), version: '0', report: () => undefined }))
      .toThrow(/in use by another Probewright/)
  })
})
