/** The contract between screen and service: every command with its answer, every event. Hosts only carry it. */
import { z } from 'zod'
import { boardType } from './board/board-type'
import { portSettings } from './meter/description'
import { meterIdentity } from './meter/identity'
import { benchKit, meter } from './meter/instrument'
import { meterFunction } from './meter/reading'
import { recogniseOutcome } from './meter/recognise/outcome'
import { statedAir } from './meter/surroundings'
import { heardView } from './meter/teach/heard-rows'
import { teachSetup } from './meter/teach/setup'
import { shown } from './meter/teach/shown'
import { teachingView } from './meter/teach/teaching-view'
import { checkResult } from './metrology/check-standards'
import { decisionRule } from './metrology/limits'
import { traceability } from './metrology/traceable'
import { hand } from './practice/hand'
import { keyCommands } from './record/key-commands'
import { repairCommands } from './repair/commands'
import { recordCommands } from './record/commands'
import { comparison } from './run/compare-view'
import { frameView, runDetail } from './run/detail-view'
import { oneLine } from './quantity/printable'
import { diagnosisView } from './run/diagnosis-view'
import { exportKinds } from './run/export-name'
import { boardWithRuns, listRunsInput, runEntry, runPage } from './run/run-list'
import { benchView, liveView } from './run/view'
import { jobCommands } from './shop/job-commands'
import { learntEvent, shopCommands } from './shop/commands'
import { benchSettings, toneName } from './settings/bench-settings'

const text = (most: number) => z.string().max(most)
const nothing = z.strictObject({})

export const portEntry = z.strictObject({
  path: z.string(), about: z.string(),
  /** What the system tells of the cable, the same whenever it is plugged in; null where it tells nothing. */
  cable: z.string().nullable(),
})
export const problem = z.strictObject({ file: z.string(), message: z.string() })

export const linkView = z.strictObject({
  status: z.enum(['closed', 'opening', 'open', 'silent', 'lost', 'practice']),
  path: z.string().nullable(), description: z.string().nullable(), meter: z.string().nullable(),
  message: z.string().nullable(),
  /** What the instrument itself answers to `*IDN?`; null for one that was not asked or did not say. */
  identification: z.string().nullable(),
  readings: z.number().int(), rejects: z.number().int(),
})
export type LinkView = z.infer<typeof linkView>

export const libraryView = z.strictObject({
  boards: z.array(z.strictObject({
    id: z.string(), revision: z.string(), name: z.string(), sha256: z.string(), builtIn: z.boolean(), file: z.string(),
    board: boardType, picture: z.string().nullable(),
    /** Steps whose limits the present meter is not good enough for. */
    tooCoarse: z.array(z.string()),
    /** Of steps without limits in the file, by their ids: what is computed for the present meter, or a typical one. */
    computed: z.record(z.string(), z.strictObject({ limits: z.string(), says: z.string() })),
  })),
  descriptions: z.array(z.strictObject({ name: z.string(), file: z.string(), builtIn: z.boolean(), port: portSettings })),
  meters: z.array(meter), kit: benchKit, rule: decisionRule, problems: z.array(problem),
})
export type LibraryView = z.infer<typeof libraryView>

/** What a screen is told of the runs at any time; the list itself is asked for. */
export const runsView = z.strictObject({
  /** The unfinished run that Start offers. */
  goOn: runEntry.nullable(),
  /** When each board type was last on the bench. */
  latest: z.array(z.strictObject({ board: z.string(), startedUtc: z.string() })),
})
export type RunsView = z.infer<typeof runsView>

const exported = { runs: z.array(z.uuid()).min(1).max(500), as: z.enum(exportKinds) }

/** Commands: what goes in, what comes back. */
export const commands = {
  ...recordCommands,
  ...keyCommands,
  ...shopCommands,
  ...jobCommands,
  ...repairCommands,
  'hello': { input: nothing, output: z.strictObject({ version: z.string(), bench: benchView.nullable(), live: liveView, link: linkView, identity: meterIdentity.nullable(), library: libraryView, runs: runsView, settings: benchSettings, teaching: teachingView.nullable(), diagnosis: diagnosisView.nullable() }) },
  'list-ports': { input: nothing, output: z.strictObject({ ports: z.array(portEntry), message: z.string().nullable() }) },
  'connect': {
    input: z.strictObject({ path: text(400).min(1), description: text(80).min(1), meter: text(64).optional(), name: oneLine(80).optional(), port: portSettings.optional() }),
    output: linkView,
  },
  'disconnect': { input: nothing, output: linkView },
  /**
   * `meter`: the one that is taken to be connected, or the one offered in its place. By a press, or by the asset number on its label.
   */
  'confirm-meter': { input: z.strictObject({ meter: text(64), asset: text(120).min(1).optional() }), output: meterIdentity },
  /** Listens to an unknown meter, sending nothing; what was taught before goes on. */
  'teach-listen': { input: z.strictObject({ path: text(400).min(1), setup: teachSetup }), output: nothing },
  'teach-stop': { input: nothing, output: nothing },
  /** What the display shows now, while it stands still. */
  'teach-shown': { input: z.strictObject({ shown }), output: nothing },
  /** The meter has no display that was asked for; `key` of the ask. */
  'teach-cannot': { input: z.strictObject({ key: text(40) }), output: nothing },
  /** One display by its place in the list, or all of them. */
  'teach-forget': { input: z.strictObject({ example: z.number().int().nonnegative().nullable() }), output: nothing },
  /** Into the data folder's meters; never over another. */
  'save-description': { input: z.strictObject({ name: text(80).min(1) }), output: z.strictObject({ file: z.string() }) },
  /** Fetched once, under `path`, as an export is. */
  'export-description': { input: z.strictObject({ name: text(80).min(1) }), output: z.strictObject({ path: z.string(), name: z.string() }) },
  /** Which description fits the meter on a port. Bytes are sent only with `ask`, to which the technician must have agreed. */
  'recognise': { input: z.strictObject({ path: text(400).min(1), ask: z.boolean() }), output: recogniseOutcome },
  'stop-recognising': { input: nothing, output: nothing },
  'save-meter': { input: meter, output: nothing },
  /** Port, settings of its own, cable and kept reply, where the meter was connected or confirmed by mistake. Refused while it is connected. */
  'forget-connection': { input: z.strictObject({ meter: text(64).min(1) }), output: nothing },
  'save-kit': { input: benchKit, output: nothing },
  /** Temperature and humidity at the bench, as they are read now: kept with the kit and so with every run, and taken for values while they hold. */
  'state-air': { input: statedAir, output: nothing },
  'save-rule': { input: decisionRule, output: nothing },
  /** Speech, tones, keys and pedals of this shop's bench. */
  'save-settings': { input: benchSettings, output: nothing },
  'start-run': {
    /** `byEye`: with no meter connected, its figures are typed. `beside`: a good board lies beside this one, and steps are made on both. */
    input: z.strictObject({ board: text(40), revision: text(20), serialNumber: oneLine(80), byEye: z.boolean().optional(), beside: z.literal(true).optional() }), output: z.strictObject({ run: z.string() }),
  },
  'start-practice': {
    /** `by`: the simulated hand plays the technician, or the user places the leads. Without a board the usual one, without a revision its first. */
    input: z.strictObject({
      board: text(40).optional(), revision: text(20).optional(), seed: z.number().int().optional(), faults: z.array(text(60)).max(5).optional(),
      by: z.enum(['itself', 'hand']).optional(), beside: z.literal(true).optional(),
    }),
    output: z.strictObject({ run: z.string() }),
  },
  /** Leads and dial of manual practice, as they are from now on. */
  'place': { input: hand, output: nothing },
  'list-runs': { input: listRunsInput, output: runPage },
  'boards-with-runs': { input: nothing, output: z.strictObject({ boards: z.array(boardWithRuns) }) },
  'read-run': { input: z.strictObject({ run: z.uuid() }), output: runDetail },
  /** What was hidden on a practice board, and after a run by hand the shortest way, which can take seconds to find. */
  'read-truth': { input: z.strictObject({ run: z.uuid() }), output: z.strictObject({ truth: z.string().nullable() }) },
  /** The frames behind one captured value. */
  'read-frames': { input: z.strictObject({ run: z.uuid(), seq: z.number().int().positive() }), output: z.strictObject({ frames: z.array(frameView) }) },
  'compare-runs': { input: z.strictObject({ first: z.uuid(), second: z.uuid() }), output: comparison },
  /** CSV and JSON take several runs, the readings file one. The file is fetched once, under `path`, as an asset. */
  'export-run': { input: z.strictObject(exported), output: z.strictObject({ path: z.string(), name: z.string() }) },
  /** The export that is being made, if one is, is refused in a sentence. */
  'stop-export': { input: nothing, output: nothing },
  /** Whether a unit was on the bench before. */
  'measured-before': { input: z.strictObject({ board: text(40), serialNumber: oneLine(80) }), output: z.strictObject({ last: runEntry.nullable(), times: z.number().int() }) },
  'open-run': { input: z.strictObject({ run: z.string() }), output: nothing },
  'close-run': { input: nothing, output: nothing },
  /** Of the same board type; without `revision`, of the same revision. */
  'next-board': { input: z.strictObject({ serialNumber: oneLine(80), revision: text(20).optional() }), output: z.strictObject({ run: z.string() }) },
  'closing-check': { input: nothing, output: z.strictObject({ run: z.string() }) },
  /** Measures the check standards of the kit with the connected meter. */
  'check-meter': { input: nothing, output: z.strictObject({ run: z.string() }) },
  /** Fits the source of the connected meter from two resistors and a diode. */
  'fit-source': { input: nothing, output: z.strictObject({ run: z.string() }) },
  /** The checks of a meter, whether its values are traceable now, and the runs that a failed check put under review. */
  'check-history': {
    input: z.strictObject({ meter: text(64) }),
    /** `failed`: a check that failed and stands, in a sentence for beside the meter; null where none does. */
    output: z.strictObject({ traceability, failed: z.string().nullable(), checks: z.array(checkResult), review: z.strictObject({ total: z.number().int(), runs: z.array(runEntry) }) }),
  },
  'press': { input: z.strictObject({ key: z.enum(['confirm', 'again', 'back', 'pause', 'resume', 'found', 'finish', 'same-meter', 'other-meter']) }), output: nothing },
  /** What the meter shows, read by eye, for this touch of this step: one that came too late is for no other. */
  'type-value': { input: z.strictObject({ text: text(40).min(1), step: text(80), touch: z.number().int().min(1) }), output: nothing },
  /** The meter was lost: the run goes on without one. */
  'read-by-eye': { input: nothing, output: nothing },
  /** `step`: the one it was asked for; refused once another has come up. */
  'skip': { input: z.strictObject({ reason: text(500).min(1), step: text(200).min(1).optional() }), output: nothing },
  /** `step`: the one it was written at, though the run has moved on; else the present one. */
  'note': { input: z.strictObject({ text: text(2000).min(1), step: text(200).min(1).optional() }), output: nothing },
  /** At two test points by their ids, now, as a step that is not of the sequence; refused in a sentence, also in a function other than resistance and diode test. */
  'measure-elsewhere': { input: z.strictObject({ red: text(64).min(1), black: text(64).min(1), function: meterFunction }), output: nothing },
  'end': { input: z.strictObject({ reason: text(500).min(1) }), output: nothing },
} as const

/** Events: what the service tells every screen. */
export const events = {
  'bench': benchView.nullable(),
  'live': liveView,
  /** Of the run on the bench, as far as it has been worked out. */
  'diagnosis': diagnosisView.nullable(),
  'link': linkView,
  /** Which meter hangs on the link, and how sure that is; null with none. */
  'identity': meterIdentity.nullable(),
  /** Where it listens or asks just now; null once it is over. */
  'recognising': z.strictObject({ path: z.string(), words: z.string(), share: z.number().min(0).max(1) }).nullable(),
  'library': libraryView,
  'meters': z.array(meter),
  'teaching': teachingView.nullable(),
  /** The bytes of the port that is listened to, at most ten times a second. */
  'heard': heardView,
  'runs': runsView,
  /** Something was learnt of the runs, or is to be learnt anew. */
  'learnt': learntEvent,
  /** Of an export that takes longer than a second; null once it is over. */
  'export': z.strictObject({ done: z.number().int(), of: z.number().int() }).nullable(),
  'tone': z.strictObject({ tone: toneName }),
  'settings': benchSettings,
  'message': z.strictObject({ text: z.string(), kind: z.enum(['note', 'problem']) }),
} as const

export type Commands = typeof commands
export type CommandName = keyof Commands
export type CommandInput<N extends CommandName> = z.infer<Commands[N]['input']>
export type CommandOutput<N extends CommandName> = z.infer<Commands[N]['output']>
export type Events = typeof events
export type EventName = keyof Events
export type EventPayload<N extends EventName> = z.infer<Events[N]>

/** The envelope both hosts carry. */
export const request = z.strictObject({ id: z.number().int().nonnegative(), command: z.string().max(40), input: z.unknown() })
export type Answer = { id: number; output: unknown } | { id: number; error: string }
export type Published = { event: EventName; payload: unknown }
