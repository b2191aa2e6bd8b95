/** The browser's way to the service: one WebSocket at the address the page came from. */
import type { Bridge } from './connection'

export const socketBridge = (token: string): Bridge => ({
  open: ({ opened, received, closed }) => {
    const address = new URL('/contract', window.location.href)
    address.protocol = address.protocol === 'https:' ? 'wss:' : 'ws:'
    address.search = `token=${encodeURIComponent(token)}`
    const socket = new WebSocket(address)
    socket.onopen = opened
    socket.onmessage = (message) => received(parsed(message.data))
    socket.onclose = closed
    return {
      send: (message) => { if (socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(message)) },
      close: () => socket.close(),
    }
  },
})

/** The message, or null where it is not JSON: the connection counts that as one that made no sense. */
const parsed = (data: unknown): unknown => {
  if (typeof data !== 'string') return null
  try {
    return JSON.parse(data)
  } catch {
    return null
  }
}
