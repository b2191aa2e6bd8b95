/** The board type: nets, parts, test points, picture, energy stores and the sequence of steps. Its file is board.json. */
import { z } from 'zod'
import { meterFunction } from '../meter/reading'
import { limits } from '../metrology/limits'
import { limitsSource } from '../metrology/limits-source'
import { oneLine } from '../quantity/printable'
import { part } from './part'
import { leftState, partState } from './part-state'

export type { Part } from './part'

const name = oneLine(80).min(1)
const identifier = z.string().regex(/^[A-Za-z0-9_.+-]{1,40}$/, 'must be 1 to 40 letters, digits or _ . + -')
const words = z.string().min(1).max(300)
/** What a record prints in one cell. */
const lineOfWords = oneLine(300).min(1)

export const testPoint = z.strictObject({
  id: identifier, net: identifier, picture: identifier, x: z.number(), y: z.number(),
  /** Where the tip goes, as one would say it: "terminal B". */
  words: lineOfWords,
})
export type TestPoint = z.infer<typeof testPoint>

export const energyStore = z.strictObject({
  id: identifier, red: identifier, black: identifier,
  kind: z.enum(['capacitor', 'battery', 'super-capacitor', 'rail']).default('capacitor'),
  farads: z.number().positive().optional(),
  dischargeOhms: z.number().positive(),
  /** How long to wait after a discharge before measuring again; 30 s unless stated. */
  waitSeconds: z.number().min(0).max(3600).optional(),
  /** Limit on what remains, for readings: 0.01 V unless stated. */
  limitVolts: z.number().positive().max(60).optional(),
  /** Mains or field wiring can reach it: AC is measured too. */
  fieldWiring: z.boolean().optional(),
})
export type EnergyStore = z.infer<typeof energyStore>

const when = z.union([
  z.enum(['pass', 'fail', 'conditional-pass', 'conditional-fail', 'doubtful', 'overload', 'under-limits', 'over-limits']),
  z.strictObject({ below: z.number() }),
  z.strictObject({ above: z.number() }),
])
const branch = z.union([
  z.strictObject({ when, goTo: identifier }),
  z.strictObject({
    when, stop: z.enum(['beyond-repair', 'fail']), because: words,
    /** The reading counts only with the board in this state; else the rule does not end the run, and what is missing is said. */
    needs: z.array(partState).min(1).max(20).optional(),
  }),
])
export type Branch = z.infer<typeof branch>

const common = { id: identifier, title: name, parts: z.array(identifier).default([]), where: words.optional(), caution: words.optional(), means: words.optional(), then: z.array(branch).default([]) }

/** What this board type adds to the uncertainty of a value, anything within ± plusMinus alike, SI. */
const added = {
  /** What adds it: "R9 in parallel". */
  what: z.string().min(1).max(80), plusMinus: z.number().positive(),
}

/** More of them are no walk any more. Our choice. */
export const mostWalkPoints = 100
/** A place on a picture without a net. */
const walkPlace = z.strictObject({ words: lineOfWords, picture: identifier, x: z.number(), y: z.number() })
export type WalkPlace = z.infer<typeof walkPlace>

export const step = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('measure'), ...common, red: identifier, black: identifier, function: meterFunction,
    /** Left out: computed for a good board from its parts and nets, for the meter of the run. */
    limits: limits.optional(),
    /** What drove the tips when these limits were made. A meter that drives otherwise gets limits of its own, computed, or is told why not. */
    source: limitsSource.optional(),
    /** Where no limits can be computed either, what good boards read here judges: those the shop has measured, or the one beside. */
    goodBoards: z.literal(true).optional(),
    /** The leads stay where the step before had them. */
    keepsContact: z.boolean().optional(),
    /** The board is supplied during this step. */
    powered: z.boolean().optional(),
    /** What lies about this placement and moves its value within these bounds. */
    addedUncertainty: z.array(z.strictObject(added)).min(1).max(20).optional(),
  }),
  z.strictObject({ kind: z.literal('look'), ...common, words }),
  z.strictObject({
    kind: z.literal('watch'), ...common, red: identifier, black: identifier, function: meterFunction,
    /** What is done to the board meanwhile: "Flex the board along its long edge." */
    words: lineOfWords,
    /** Smallest and largest value must both lie within. Left out: only a dropout fails it. */
    limits: limits.optional(),
    /** It ends by itself so long after the first contact; left out, it ends by a press. */
    seconds: z.number().min(2).max(300).optional(),
    powered: z.boolean().optional(),
  }),
  z.strictObject({
    kind: z.literal('walk'), ...common,
    /** Where the black lead stays clipped: a test point, usually ground. */
    black: identifier,
    function: meterFunction,
    /** Where the red lead goes, in this order: test points, or places that need no net. Left out: wherever it is put on the board that is learned from. */
    points: z.array(z.union([identifier, walkPlace])).min(1).max(mostWalkPoints).optional(),
    /** Of the learned value, either way, until enough good boards tell how they scatter; 0.15 unless stated. */
    tolerance: z.number().positive().max(1).optional(),
    powered: z.boolean().optional(),
  }),
  z.strictObject({
    kind: z.literal('do'), ...common, words,
    /** What it leaves lifted, removed, fitted or jumpered, or puts back. */
    leaves: z.array(leftState).min(1).max(40).optional(),
  }),
])
export type Step = z.infer<typeof step>
export type MeasureStep = Extract<Step, { kind: 'measure' }>
export type WatchStep = Extract<Step, { kind: 'watch' }>
export type WalkStep = Extract<Step, { kind: 'walk' }>
/** Of these kinds the leads touch something. */
export type ProbedStep = MeasureStep | WatchStep | WalkStep
export const isProbed = (each: Step): each is ProbedStep => each.kind === 'measure' || each.kind === 'watch' || each.kind === 'walk'

const withChecks = z.strictObject({ id: identifier, title: name, words })

/** How a repaired board is shown to work. */
export const proving = z.strictObject({
  /** With the power off: the resistance of the supply, before any power is put on. */
  unpowered: z.array(step).min(1).max(20),
  powerUp: z.strictObject({
    volts: z.number().positive().max(1000), limitAmperes: z.number().positive().max(100),
    /** How the supply is connected: "Plus to J2.1, minus to J2.2." */
    connect: z.string().min(1).max(180), disconnect: z.array(words).max(10), cautions: z.array(words).max(10).default([]),
    /** Input current, rails, bus at rest. */
    steps: z.array(step).min(1).max(60),
    /** What it must do, looked at one by one. */
    checks: z.array(withChecks).max(40).default([]),
  }).optional(),
})

export const tell = z.strictObject({
  /** What to look for: "Beside terminal B lies R3, a flat resistor marked 220." */
  words,
  /** Where on a picture it is to be seen, in the picture's own units. */
  picture: identifier, x: z.number(), y: z.number(),
})
export type Tell = z.infer<typeof tell>

export const boardType = z.strictObject({
  schema: z.literal('probewright/board-type/1'),
  id: z.string().regex(/^[a-z0-9][a-z0-9-]{0,39}$/, 'must be lower-case letters, digits and hyphens'),
  name, revision: oneLine(20).min(1),
  hazard: z.enum(['extra-low', 'hazardous']),
  mainsReferenced: z.boolean(),
  /** Limit on what may remain for people, where this board asks for less than 60 V DC and 30 V AC. */
  limitForPeople: z.strictObject({ dcVolts: z.number().positive().max(60), acVolts: z.number().positive().max(30) }).optional(),
  cautions: z.array(words).default([]),
  /** How this revision is told from the others of its board type. */
  tell: tell.optional(),
  pictures: z.array(z.strictObject({
    id: identifier,
    /** Beside board.json; no folders. */
    file: z.string().regex(/^[A-Za-z0-9_.-]+\.(svg|png|jpg|jpeg)$/, 'must be the name of an SVG, PNG or JPEG beside the board file'),
    width: z.number().positive(), height: z.number().positive(),
  })),
  nets: z.array(identifier),
  testPoints: z.array(testPoint),
  parts: z.array(part),
  /** Pairs of nets a solder bridge or a wet trace could join. Left out: nets of one part, and of test points that lie close together. */
  neighbours: z.array(z.tuple([identifier, identifier])).optional(),
  energyStores: z.array(energyStore),
  /** The same for every step of a function. */
  addedUncertainty: z.array(z.strictObject({ function: meterFunction, ...added })).min(1).max(20).optional(),
  disconnect: z.array(words),
  prove: proving.optional(),
  sequence: z.strictObject({ id: identifier, version: z.number().int().positive(), steps: z.array(step).min(1) }),
})
export type BoardType = z.infer<typeof boardType>
