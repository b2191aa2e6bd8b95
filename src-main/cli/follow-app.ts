/** Plays the technician on a running app: a second client of its contract that sees what the screen sees and presses its keys. */
import { WebSocket } from 'ws'
import { z } from 'zod'
import { commands, events } from '../../src-core/contract'
import type { Seconds } from '../../src-core/quantity/units'
import { isBenchRun } from '../../src-core/run/bench-runs'
import type { BenchView, LiveView } from '../../src-core/run/view'
import type { Hand } from '../../src-core/practice/hand'
import { technician, technicianAtRest } from '../service/practice/technician'
import { Refused } from './surroundings'

export type Follower = {
  /** What the practice meter measures on. */
  board: { id: string; revision: string }
  clock: () => Seconds
  setHand: (hand: Hand) => void
  say: (line: string) => void
  complain: (line: string) => void
  /** The app is gone; with the exit code. */
  gone: (code: number) => void
}

const turnMs = 25
const openSeconds = 10

/** Where the contract is, from the address that `npm start` prints. @throws Refused when it is none. */
export const contractAddress = (address: string): { url: string; origin: string } => {
  const match = /^(http:\/\/(?:127\.0\.0\.1|localhost):\d{1,5})\/?#(.+)$/.exec(address)
  const [, origin, token] = match ?? []
  if (origin === undefined || token === undefined) {
    throw new Refused(`"${address}" is not the app's address. `
      + 'Copy it whole from npm start, such as http://127.0.0.1:4400/#TOKEN, in quotes.')
  }
  return { url: `${origin.replace('http', 'ws')}/contract?token=${encodeURIComponent(token)}`, origin }
}

/** Why a run cannot be followed: its board is not the one that is measured here. Null: it can. */
export const otherBoard = (own: Follower['board'], { board, result }: Pick<BenchView, 'board' | 'result'>): string | null =>
  result !== null || isBenchRun(board.id) || (board.id === own.id && board.revision === own.revision) ? null
    : `The app's run is on board ${board.id} revision ${board.revision}, but this practice meter measures ${own.id} revision ${own.revision}. `
      + `Start it again with --board ${board.id} --revision ${board.revision}.`

const published = z.object({ event: z.string(), payload: z.unknown() })
const answered = z.object({ id: z.number(), output: z.unknown().optional(), error: z.string().optional() })

/** Resolves when the app has answered; what is returned stops it. @throws Refused when the app does not answer or refuses the token. */
export const followApp = async (address: string, follower: Follower): Promise<() => void> => {
  const { url, origin } = contractAddress(address)
  const socket = new WebSocket(url, { origin, handshakeTimeout: openSeconds * 1000, maxPayload: 64 * 1024 * 1024 })
  let bench: BenchView | null = null
  let live: LiveView | null = null
  let id = 0
  let lastRun: string | null = null
  const send = (command: keyof typeof commands, input: unknown): number => {
    id += 1
    if (socket.readyState === socket.OPEN) socket.send(JSON.stringify({ id, command, input }))
    return id
  }

  await new Promise<void>((resolve, reject) => {
    socket.once('open', () => resolve())
    socket.once('error', (error) => reject(new Refused(/403/.test(error.message)
      ? `The app at ${origin} refused the token. It has a new one at each start: copy the address again.`
      : `No app answers at ${origin}. Start it with npm start and copy its address. (The system said: ${error.message})`)))
  })

  const hello = send('hello', {})
  const onText = (text: string): void => {
    const message: unknown = JSON.parse(text)
    const event = published.safeParse(message)
    if (event.success) {
      if (event.data.event === 'bench') bench = events.bench.parse(event.data.payload)
      if (event.data.event === 'live') live = events.live.parse(event.data.payload)
      return
    }
    const answer = answered.parse(message)
    if (answer.error !== undefined) return follower.complain(`The app refused: ${answer.error}`)
    if (answer.id === hello) ({ bench, live } = commands.hello.output.parse(answer.output))
  }
  socket.on('message', (data) => {
    try {
      onText(data.toString())
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error)
      follower.complain(`The app sent something this version does not know. Is it the same version? (${why})`)
      follower.gone(1)
    }
  })
  socket.on('error', (error) => follower.complain(`The connection to the app failed: ${error.message}`))

  let hand = technicianAtRest(follower.clock())
  const turning = setInterval(() => {
    if (live === null) return
    const other = bench === null ? null : otherBoard(follower.board, bench)
    if (other !== null) {
      clearInterval(turning)
      follower.complain(other)
      return follower.gone(1)
    }
    const next = technician(hand, bench, live, follower.clock())
    hand = next.technician
    for (const action of next.actions) {
      if (action.kind === 'hand') follower.setHand(action.hand)
      else if (action.kind === 'press') send('press', { key: action.key })
      else send('skip', { step: action.step, reason: action.reason })
    }
    const ended = bench?.result ?? null
    if (bench !== null && ended !== null && lastRun !== bench.run) follower.say(`The run on ${bench.serialNumber} ended: ${ended.verdict}.`)
    lastRun = bench !== null && ended !== null ? bench.run : null
  }, turnMs)
  socket.on('close', () => {
    clearInterval(turning)
    follower.complain('The app is gone.')
    follower.gone(0)
  })
  return () => {
    clearInterval(turning)
    socket.removeAllListeners('close')
    socket.close()
  }
}
