/** The browser's way to the service: one WebSocket at the address the page came from. */
import type { Bridge } from './connection'
import { messageFrom } from './message-text'

export const socketBridge = (token: string): Bridge => ({
  open: ({ opened, received, closed }) => {
    const address = new URL('/contract', window.location.href)
    address.protocol = address.protocol === 'https:' ? 'wss:' : 'ws:'
    address.search = `token=${encodeURIComponent(token)}`
    const socket = new WebSocket(address)
    socket.onopen = opened
    socket.onmessage = (message) => received(messageFrom(message.data))
    socket.onclose = closed
    return {
      send: (message) => { if (socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(message)) },
      close: () => socket.close(),
    }
  },
})
