/** The browser host: the same service on 127.0.0.1, over one WebSocket, for whoever holds this start's token. */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto'
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { WebSocketServer, type WebSocket } from 'ws'
import { answerHeaders, headersOf, ownAsset, type Asset, type Assets } from './service/assets'
import type { Dispatcher } from './service/dispatcher'
import { largestMessage, messageFrom } from './service/message-text'

/** A screen that leaves more than this unread is cut off; it connects anew and is told everything afresh. */
const mostUnread = 8 * 1024 * 1024

export type BrowserHost = { port: number; address: string; close: () => Promise<void> }

const sameSecret = (given: string, secret: string): boolean =>
  timingSafeEqual(createHash('sha256').update(given).digest(), createHash('sha256').update(secret).digest())

const refuse = (response: ServerResponse, status: number, words: string): void => {
  response.writeHead(status, { ...answerHeaders, 'Content-Type': 'text/plain; charset=utf-8' }).end(`${words}\n`)
}

/**
 * Serves the page, its assets and the contract. `port` 0 means any free one.
 * @throws Error in plain words when the port is taken or not allowed.
 */
export const openBrowserHost = async (port: number, dispatcher: Dispatcher, assets: Assets): Promise<BrowserHost> => {
  const token = randomBytes(24).toString('base64url')
  const server = createServer()
  const ownHosts = (): string[] => {
    const { port: bound } = server.address() as AddressInfo
    return [`127.0.0.1:${bound}`, `localhost:${bound}`]
  }
  const fromHere = (incoming: IncomingMessage, originNeeded: boolean): boolean => {
    const { host, origin } = incoming.headers
    if (host === undefined || !ownHosts().includes(host)) return false
    return origin === undefined ? !originNeeded : ownHosts().some((own) => origin === `http://${own}`)
  }

  server.on('request', (incoming, response) => {
    if (!fromHere(incoming, false)) return refuse(response, 403, 'Only pages of this app may ask.')
    if (incoming.method !== 'GET' && incoming.method !== 'HEAD') return refuse(response, 405, 'Only GET is answered here.')
    // Split by hand: a malformed % must not throw, and no path reaches the file system.
    const [path = '/', query = ''] = (incoming.url ?? '/').split('?', 2)
    const page = assets.page(path)
    const found: Asset | null = page ?? (sameSecret(new URLSearchParams(query).get('token') ?? '', token) ? ownAsset(assets, incoming.method, path) : null)
    if (found === null) return refuse(response, 404, 'There is nothing here.')
    response.writeHead(200, headersOf(found))
    response.end(incoming.method === 'HEAD' ? undefined : found.bytes)
  })

  const sockets = new WebSocketServer({ noServer: true, maxPayload: largestMessage, perMessageDeflate: false })

  const serve = (socket: WebSocket): void => {
    const send = (message: unknown): void => {
      if (socket.readyState !== socket.OPEN) return
      if (socket.bufferedAmount > mostUnread) socket.terminate()
      else socket.send(JSON.stringify(message))
    }
    socket.on('error', () => socket.terminate())
    socket.on('close', dispatcher.subscribe(send))
    socket.on('message', (data, binary) => {
      void dispatcher.dispatch(binary ? null : messageFrom(data.toString())).then(send)
    })
  }

  server.on('upgrade', (incoming, stream, head) => {
    stream.on('error', () => stream.destroy())
    const [path, query = ''] = (incoming.url ?? '').split('?', 2)
    // The token is checked before there is a socket: a stranger's frames are never read.
    if (path !== '/contract' || !fromHere(incoming, true) || !sameSecret(new URLSearchParams(query).get('token') ?? '', token)) {
      stream.end('HTTP/1.1 403 Forbidden\r\nConnection: close\r\n\r\n')
      return
    }
    sockets.handleUpgrade(incoming, stream, head, serve)
  })
  server.on('clientError', (_error, stream) => stream.destroy())

  await new Promise<void>((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => reject(new Error(
      error.code === 'EADDRINUSE' ? `Port ${port} is in use by another program. Choose another with --port, or 0 for any free one.`
        : error.code === 'EACCES' ? `Port ${port} needs rights this account does not have. Choose one above 1023 with --port.`
          : `The address 127.0.0.1:${port} could not be opened: ${error.message}`)))
    server.listen(port, '127.0.0.1', resolve)
  })
  const bound = (server.address() as AddressInfo).port
  return {
    port: bound,
    address: `http://127.0.0.1:${bound}/#${token}`,
    close: () => new Promise((resolve) => {
      for (const socket of sockets.clients) socket.terminate()
      server.closeAllConnections()
      server.close(() => resolve())
    }),
  }
}
