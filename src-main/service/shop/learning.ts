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

  /** The runs of one unit, in their order. One that grew since is due itself. */
  const unitOf = async (run: string): Promise<RunWithBoard[]> => {
    const found = [await read(run, createTurns())]
    const isNew = (one: string | null | undefined): one is string => typeof one === 'string' && !found.some(({ state }) => state.started.run === one)
    for (let before = found[0]?.state.started.follows?.run; isNew(before); before = found[0]?.state.started.follows?.run) found.unshift(await read(before, createTurns()))
    for (let next = follower(run); isNew(next); next = follower(next)) found.push(await read(next, createTurns()))
    return found
  }

  const learnOf = async (run: string): Promise<void> => {
    try {
      const unit = await unitOf(run)
      const own = unit.find(({ state }) => state.started.run === run)
      // What grew while it was read stays due, and is read again.
      if (closed || own === undefined || own.state.events.length !== lastSeq(run)) return
      const [first, ...behind] = unit
      // What a later run found at fault counts with the first one, and is taken in before that later run is due no more.
      for (const each of first === undefined || first === own ? [own] : [first, own]) {
        learnt.take(each.state.started.run, digestOf(each.state, each.board, each === first ? behind.map(({ state }) => state) : []))
      }
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
