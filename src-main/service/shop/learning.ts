/** Learns of each run once it has ended, one after the other, in pieces the serial loop does not feel; goes on at the next start where it was cut short. */
import { digestOf } from '../../../src-core/shop/run-digest'
import type { RunWithBoard } from '../../../src-core/run/compare'
import type { RunReader } from '../run-reader'
import type { LearntStore } from '../store/learnt-store'
import type { RunStore } from '../store/run-store'
import { createTurns, nextTurn } from '../turns'

export type Learning = {
  /** A run may have become due. */
  look: () => void
  /** Resolves when no run is due any more. */
  settled: () => Promise<void>
  close: () => void
}

type Runs = Pick<RunReader, 'read'> & Pick<RunStore, 'lastSeq' | 'follower'>

/** Screens are told how far it is after so many runs. */
const toldEvery = 50

/** @param changed something was learnt. */
export const createLearning = (learnt: LearntStore, { read, lastSeq, follower }: Runs, changed: () => void, report: (error: unknown) => void): Learning => {
  let underWay: Promise<void> | null = null
  let closed = false

  /** Null: it cannot be read, which is reported and keeps no other run of its unit from being learnt of. */
  const readOther = async (run: string): Promise<RunWithBoard | null> => {
    try {
      return await read(run, createTurns())
    } catch (error) {
      report(error)
      return null
    }
  }

  /** A run and those of its unit that can be read, in their order. */
  const unitOf = async (own: RunWithBoard): Promise<RunWithBoard[]> => {
    const found = [own]
    const isNew = (run: string | null | undefined): run is string => typeof run === 'string' && !found.some(({ state }) => state.started.run === run)
    for (let before = own.state.started.follows?.run; isNew(before);) {
      const earlier = await readOther(before)
      if (earlier === null) break
      found.unshift(earlier)
      before = earlier.state.started.follows?.run
    }
    for (let next = follower(own.state.started.run); isNew(next); next = follower(next)) {
      const later = await readOther(next)
      if (later !== null) found.push(later)
    }
    return found
  }

  const learnOf = async (run: string): Promise<void> => {
    try {
      const own = await read(run, createTurns())
      const unit = await unitOf(own)
      const [first = own, ...behind] = unit
      const taken = first === own ? [own] : [first, own]
      // What grew while it was read stays due, and is read again.
      if (closed || taken.some(({ state }) => state.events.length !== lastSeq(state.started.run))) return
      // What a later run found at fault counts with the first one, and is taken in before that later run is due no more.
      for (const { state, board } of taken) learnt.take(state.started.run, digestOf(state, board, state === first.state ? behind.map((each) => each.state) : []))
    } catch (error) {
      report(error)
      // One that cannot be read teaches nothing; when something is added to it, it is due again.
      if (!closed) learnt.take(run, null)
    }
  }

  const learn = async (): Promise<void> => {
    await nextTurn()
    let count = 0
    for (let run = closed ? null : learnt.due(); run !== null; run = closed ? null : learnt.due()) {
      await learnOf(run)
      await nextTurn()
      count += 1
      if (count % toldEvery === 0 && !closed) changed()
    }
    if (count > 0 && !closed) changed()
  }

  const look = (): void => {
    if (closed || underWay !== null || learnt.due() === null) return
    underWay = learn().catch(report).finally(() => {
      underWay = null
    })
  }

  // What was cut short before goes on once the service stands.
  setImmediate(look)

  return {
    look,
    settled: async () => {
      look()
      while (underWay !== null) await underWay
    },
    close: () => { closed = true },
  }
}
