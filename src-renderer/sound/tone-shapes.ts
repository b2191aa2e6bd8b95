/** How each tone of the bench sounds: told apart by pitch and by rhythm, so that neither a tired ear nor a noisy shop mixes them up. */
import type { EventPayload } from '../../src-core/contract'

export type Tone = EventPayload<'tone'>['tone']

/** One sound of a tone: start and length in seconds from the beginning, pitch in Hz from begin to end, loudness 0 to 1. */
export type Note = { start: number; length: number; from: number; to: number; loudness: number }

const note = (start: number, length: number, from: number, to = from, loudness = 0.5): Note => ({ start, length, from, to, loudness })

export const toneShapes: Record<Tone, readonly Note[]> = {
  /** The tips touch something: one tick. */
  contact: [note(0, 0.05, 660, 660, 0.3)],
  /** Captured, in limits: two notes, rising. */
  pass: [note(0, 0.09, 784), note(0.11, 0.16, 1175)],
  /** Captured, out of limits: three low notes of one pitch. */
  fail: [note(0, 0.12, 247), note(0.17, 0.12, 247), note(0.34, 0.2, 247)],
  /** The leads have left: a short glide down. */
  lift: [note(0, 0.12, 523, 349, 0.3)],
  /** The dial is wrong: high and low by turns. */
  'wrong-function': [note(0, 0.15, 440), note(0.16, 0.15, 330), note(0.32, 0.15, 440), note(0.48, 0.15, 330)],
  /** The meter is silent: one long low note. */
  silent: [note(0, 0.8, 165)],
}

/** Seconds from begin to end. */
export const toneLength = (tone: Tone): number => Math.max(...toneShapes[tone].map(({ start, length }) => start + length))
