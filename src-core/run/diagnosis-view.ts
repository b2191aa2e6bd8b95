/** What the screens draw of a diagnosis: each part's report, the likely faults, what each would read, and what to do next. */
import { z } from 'zod'
import { noPartWords } from '../circuit/diagnose/set-in-words'
import { meterFunction } from '../meter/reading'

export const partReport = z.enum(['faulty', 'good', 'masked', 'unprobed'])

export const diagnosisView = z.strictObject({
  run: z.string(),
  /** Number of the last event it knows of, and how many readings it stands on. */
  after: z.number().int(), readings: z.number().int(),
  /** Why there is none, as a sentence; what stands below is empty then. */
  problem: z.string().nullable(),
  /** The worst first. */
  parts: z.array(z.strictObject({
    ref: z.string(), report: partReport,
    /** Of being faulty: "93 %". */
    chance: z.string(),
    /** What is wrong, what masks it and what would tell, or that nothing tells of it yet. */
    says: z.string(),
    /** Where it is on the first picture; null where neither the board file nor a test point says, or it lies on another. */
    spot: z.strictObject({ x: z.number(), y: z.number() }).nullable(),
  })),
  /** Fault sets, the likeliest first; `number` names them on the scale. */
  likely: z.array(z.strictObject({ number: z.number().int(), words: z.string(), chance: z.string(), /** Each set of several that read the same, the likeliest first; empty where there is one. */ alike: z.array(z.string()) })),
  /** How likely no part is at fault, where that is one of the likely: "21 %". */
  noPart: z.string().optional(),
  /** The likeliest is likely enough for measuring to stop: a sentence that says so. Null: it is not. */
  enough: z.string().nullable(),
  notes: z.array(z.string()),
  /** `step`: the one of the sequence that measures it. `alone`: of a part with a leg lifted, where the leads go, which is measured elsewhere. */
  next: z.array(z.strictObject({
    words: z.string(), why: z.string(), step: z.string().nullable(), action: z.enum(['measure', 'lift', 'replace']),
    alone: z.strictObject({ red: z.string(), black: z.string(), function: meterFunction }).optional(),
  })),
  /** What a good board and each likely fault would read at a step, along its scale. Marks that would cover each other are one. */
  expected: z.array(z.strictObject({
    step: z.string(),
    marks: z.array(z.strictObject({ at: z.number(), /** "good", or numbers of likely faults. */ who: z.string(), words: z.string() })),
  })),
})
export type DiagnosisView = z.infer<typeof diagnosisView>
export type PartReportView = DiagnosisView['parts'][number]

/** With a run that failed: how likely no part is at fault all the same, and what it is then; null: nothing failed, or the readings tie it to parts. */
export const failedWithoutFault = (failed: readonly { title: string }[], { problem, noPart, readings }: Pick<DiagnosisView, 'problem' | 'noPart' | 'readings'>): string | null => {
  const [first] = failed
  if (first === undefined || problem !== null || noPart === undefined || readings === 0) return null
  const what = failed.length === 1 ? `${first.title} failed` : `${failed.length} steps failed`
  return `${what}, and the readings do not tie that to a part for certain: ${noPart} that no part is at fault, but the tolerances together, a contact, or the limits themselves.`
}

/** The likeliest is that nothing is at fault, and a step failed: on such a board no headline and nothing to be sure of. */
export const isFailedWithoutFault = (failed: boolean, { likely: [first] }: Pick<DiagnosisView, 'likely'>): boolean => failed && first?.words === noPartWords

/** A likely fault as its line reads. @param failed whether a step failed. */
export const likelyInWords = ({ words, chance }: DiagnosisView['likely'][number], failed: boolean): { words: string; chance: string } =>
  (failed && words === noPartWords ? { words: 'these readings tie the failure to no part: touch the failed step again', chance: `${chance} that ${noPartWords}` } : { words, chance })

/** Several that read the same and are the likeliest, as a sentence; null: it is one, or nothing is measured. */
export const readsTheSame = ({ readings, likely: [first] }: Pick<DiagnosisView, 'readings' | 'likely'>): string | null =>
  (readings === 0 || first === undefined || first.alike.length === 0 ? null : `${first.words} (${first.chance}).`)

/** Steps of the sequence that would tell most, the best first. */
export const proposalsOf = ({ next }: DiagnosisView): { step: string; because: string }[] =>
  next.flatMap(({ step, why }) => (step === null ? [] : [{ step, because: why }]))

/** The same as sentences, for the record: what is faulty and what is masked, and which parts nothing was found out about. */
export const conclusionsOf = (view: DiagnosisView): string[] => {
  const { readings, parts, notes } = view
  const together = readsTheSame(view)
  if (readings === 0 || parts.length === 0) return []
  const refs = (report: PartReportView['report']): string => parts.filter((part) => part.report === report).map(({ ref }) => ref).join(', ')
  const told = parts.filter(({ report }) => report === 'faulty' || report === 'masked').map(({ ref, report, chance, says }) => `${ref} is ${report} (${chance} likely to be faulty). ${says}`)
  return [
    ...(together === null ? [] : [together]), ...told, ...(refs('unprobed') === '' ? [] : [`Unprobed, the readings tell too little of them: ${refs('unprobed')}.`]),
    ...(refs('good') === '' ? [] : [`Good as far as these readings tell: ${refs('good')}.`]), ...notes,
  ]
}
