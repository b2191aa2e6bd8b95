/** From what a description explains to how sure it is, and which of several is offered first. */
import { z } from 'zod'
import { portSettings, type PortSettings } from '../description'
import { reading } from '../reading'
import type { Score } from './judge'

export const confidence = z.enum(['sure', 'likely', 'perhaps'])
export type Confidence = z.infer<typeof confidence>

/** Our choices: three frames and nine bytes of ten are a meter; under half of the bytes it is none. */
const levels: { level: Confidence; readings: number; share: number; surprise: number }[] = [
  { level: 'sure', readings: 3, share: 0.9, surprise: 32 },
  { level: 'likely', readings: 2, share: 0.7, surprise: 20 },
  { level: 'perhaps', readings: 2, share: 0.5, surprise: 16 },
]

export const confidenceOf = ({ readings, share, surprise }: Score): Confidence | null =>
  levels.find((each) => readings >= each.readings && share >= each.share && surprise >= each.surprise)?.level ?? null

export const recognised = z.strictObject({
  description: z.string(), settings: portSettings, confidence,
  /** Valid frames, those that were not, and the share of the bytes that valid frames explain. */
  readings: z.number().int(), rejects: z.number().int(), share: z.number().min(0).max(1),
  sample: reading.nullable(),
  /** What was found, in a sentence without its end. */
  words: z.string(),
  /** The last reading, or what the instrument says of itself. */
  sampleWords: z.string(),
})
export type Recognised = z.infer<typeof recognised>

const rank: Record<Confidence, number> = { sure: 0, likely: 1, perhaps: 2 }

export type Candidate = {
  description: string; settings: PortSettings; confidence: Confidence; score: Score
  /** It was heard with the line format that the description names. */
  own: boolean
}

/** Two that explain as much to within this differ by chance: the description's own port settings go first. */
const asMuch = 0.02

export const better = (one: Candidate, other: Candidate): number =>
  rank[one.confidence] - rank[other.confidence]
  || (Math.abs(one.score.share - other.score.share) > asMuch ? other.score.share - one.score.share : 0)
  || Number(other.own) - Number(one.own)
  || other.score.surprise - one.score.surprise
