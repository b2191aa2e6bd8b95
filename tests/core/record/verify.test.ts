/** What `verify` finds: every changed byte, a missing record, another key; and that it finds nothing where nothing is. */
import { describe, expect, it } from 'vitest'
import { canonical } from '../../../src-core/record/canonical'
import { recordOfRun } from '../../../src-core/record/from-run'
import { judgeText } from '../../../src-core/record/judge-file'
import { testRecordContent, type SignedFile, type SignedRecord } from '../../../src-core/record/schema'
import { fileText } from '../../../src-core/record/seal'
import { verify, type KnownKey } from '../../../src-core/record/verify'
import { checks, publicHexOf } from '../../../src-main/service/record/signatures'
import { changedEverywhere } from '../../bench-tools/changed-everywhere'
import { chainMade, otherKey, sealedRecord, shortened, sourcesMade, statementMade, testKey } from '../../bench-tools/made-records'

const ownKey: KnownKey = { publicKey: publicHexOf(testKey), name: 'Willow Lane Board Repair' }
const given = (files: readonly SignedFile[]) => files.map((file, index) => ({ name: `file-${index + 1}.json`, text: fileText(file) }))
const verified = (files: readonly SignedFile[], keys: readonly KnownKey[] = [ownKey]) => verify(given(files), keys, checks)
const small = (): SignedRecord => sealedRecord(recordOfRun(sourcesMade({ of: shortened(3) })))

describe('a record as it was issued', () => {
  it('is valid with and without what it says of the run it follows, and a change of that is found', () => {
    const words = 'Partial: 1 of 3 steps of the sequence. The board was found whole.'
    const follows = { run: '22222222-2222-4333-8444-555555555555', purpose: 'affected' as const, steps: ['r3'], of: 3, found: [], words }
    const record = sealedRecord({ ...recordOfRun(sourcesMade({ of: shortened(3) })), follows })
    expect([verified([small()]).verdict, verified([record]).verdict]).toEqual(['valid', 'valid'])
    const claimsAll = { ...record, record: { ...record.record, follows: { ...follows, steps: ['r3', 'r4', 'r5'] } } }
    const { follows: _gone, ...without } = record.record
    for (const changed of [claimsAll, { ...record, record: without }]) expect(verified([changed]).verdict).toBe('changed')
  })
  it('is valid with a known key; with none it says that the signature fits and the key is unknown, and shows it', () => {
    const record = small()
    expect(verified([record])).toMatchObject({ verdict: 'valid', faults: [], files: [{ verdict: 'valid', lines: [expect.stringMatching(/^valid, signed with the key of Willow Lane Board Repair: record 3F9A2C11-000001, Vent driver node revision C, serial number VD-000007: pass, issued 2026-03-14T16:00:00\.000\+01:00\. It claims no traceability\. The accuracy of Bench meter in /)] }] })
    const unknown = verified([record], [])
    expect(unknown.verdict).toBe('key-unknown')
    expect(unknown.files[0]?.lines[0]).toContain('the signature fits its content, key unknown (d75a9801 82b10ab7')
    expect(verified([record], [{ publicKey: publicHexOf(otherKey), name: 'someone else' }]).verdict).toBe('key-unknown')
  })

  it('stays so when it is laid out with line breaks, but not when a name stands twice or a figure is written otherwise', () => {
    const record = small()
    const as = (text: string) => verify([{ name: 'a', text }], [ownKey], checks).verdict
    expect(as(JSON.stringify(JSON.parse(canonical(record)), null, 2))).toBe('valid')
    // The sound value stands last: this program reads it, another may read the first.
    expect(as(canonical(record).replace('"verdict":"pass"},"place"', '"verdict":"fail","verdict":"pass"},"place"'))).toBe('changed')
    for (const written of ['22.50', '2.25e1', '2250e-2']) expect(as(canonical(record).replace('22.5', written))).toBe('changed')
    // The same name, written with an escape the second time.
    expect(as(canonical(record).replace('"verdict":"pass"},"place"', '"verdict":"pass","verdic\\u0074":"pass"},"place"'))).toBe('changed')
  })

  it('stays so, with a word about it, where another program wrote the same content anew: RFC 8785 is there for that', () => {
    const record = small()
    const backwards = (value: unknown): unknown => (Array.isArray(value) ? value.map(backwards) : typeof value !== 'object' || value === null ? value
      : Object.fromEntries(Object.entries(value).reverse().map(([name, each]) => [name, backwards(each)])))
    const rewritten = [canonical(record).replace('Harrowby', '\\u0048arrowby'), JSON.stringify(backwards(record)), `\ufeff${canonical(record)}`, JSON.stringify([backwards(record)])]
    for (const text of rewritten) {
      const found = verify([{ name: 'a', text }], [ownKey], checks)
      expect(found).toMatchObject({ verdict: 'valid', files: [{ lines: [expect.stringMatching(/^valid/) as string, expect.stringContaining('was written anew') as string] }] })
    }
    expect(verify([{ name: 'a', text: fileText(record) }], [ownKey], checks).files[0]?.lines).toHaveLength(1)
    // What was changed stays changed, in whatever order it is written.
    expect(verify([{ name: 'a', text: JSON.stringify(backwards({ ...record, record: { ...record.record, technician: 'B. Finch' } })) }], [ownKey], checks).verdict).toBe('changed')
  })

  it('prints nothing that moves a cursor, breaks a line or turns the direction of reading, wherever it stands', () => {
    // A record of another program may hold anything in its signed words: here in those that a schema does not hold to one line.
    const trick = 'x\nfile-2.json: valid, signed with the key of the shop\u001b[1A\u202e\u0085'
    const statement = { ...statementMade(chainMade([{}])) }
    const forged = { ...statement, statement: { ...statement.statement, job: trick } }
    const record = small()
    const named = verify([
      { name: `a${trick}`, text: canonical(forged) }, { name: 'b', text: fileText(record) }, { name: 'c', text: canonical({ ...record, schema: trick }) },
      { name: 'd', text: canonical({ ...record, record: { ...record.record, [trick]: 1 } }) },
    ], [{ ...ownKey, name: trick }], checks)
    const printed = [...named.files.flatMap(({ name, lines }) => [name, ...lines]), ...named.faults, ...named.notes]
    expect(printed.length).toBeGreaterThan(5)
    // eslint-disable-next-line no-control-regex
    for (const line of printed) expect(line).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/)
    expect(printed.join(' ')).toContain('x\\u000afile-2.json')
  })

  it.each(['serialNumber', 'technician'])('refuses a line break in its %s, which is one line', (field) => {
    const content = recordOfRun(sourcesMade({ of: shortened(3) }))
    const broken = field === 'technician' ? { ...content, technician: 'A.\nFinch' } : { ...content, item: { ...content.item, serialNumber: 'S-1\nvalid' } }
    expect(testRecordContent.safeParse(broken).success).toBe(false)
    expect(testRecordContent.safeParse(content).success).toBe(true)
  })
})

describe('a changed record', () => {
  it('is found for every field changed, added or taken away, in the content and in the seal', () => {
    const record = small()
    let tried = 0
    for (const { path, value } of changedEverywhere(record)) {
      tried += 1
      const { verdict } = verify([{ name: path, text: canonical(value) }], [ownKey], checks)
      expect(verdict === 'changed' || (verdict === 'not-a-record' && path.startsWith('.schema')), `${path}: ${verdict}`).toBe(true)
    }
    expect(tried).toBeGreaterThan(300)
  })

  it('names the step that changed, by the hashes in its seal alone', () => {
    const record = small()
    const forged = structuredClone(record)
    const at = forged.record.steps.findIndex(({ values }) => typeof values[0]?.value === 'number')
    const value = forged.record.steps[at]?.values[0]
    if (value === undefined || typeof value.value !== 'number') throw new Error('no step has a figure')
    value.value += 0.1
    const found = judgeText(canonical(forged), checks)
    expect(found).toMatchObject([{ is: 'changed', number: '3F9A2C11-000001', what: [`/steps/${at} (${forged.record.steps[at]?.title ?? ''}) is not as it was signed.`] }])
  })

  it('names the field, with both values, beside a copy that is as it was signed', () => {
    const record = small()
    const forged = { ...record, record: { ...record.record, outcome: { ...record.record.outcome, verdict: 'fail' as const } } }
    expect(verify(given([forged]), [ownKey], checks, [record]).files[0]?.lines).toContain('record.outcome.verdict: "fail" here, "pass" as issued.')
    // The copy may be among the given files.
    expect(verified([record, forged]).files[1]?.lines).toContain('record.outcome.verdict: "fail" here, "pass" as issued.')
  })

  it('is found though it holds half of a surrogate pair, which no canonical form has', () => {
    const text = fileText(small()).replace('Harrowby', 'Harr\\ud83dby')
    expect(verify([{ name: 'x', text }], [ownKey], checks).verdict).toBe('changed')
  })

  it('that was signed anew by another is another’s: the key is not the shop’s', () => {
    const forged = sealedRecord({ ...small().record, outcome: { verdict: 'fail', because: 'forged' } }, otherKey)
    expect(verified([forged]).verdict).toBe('key-unknown')
  })

  it.each([
    ['the signature', (file: SignedRecord) => { file.seal.signature = `${file.seal.signature.startsWith('0') ? '1' : '0'}${file.seal.signature.slice(1)}` }, /fits its hash, but not its signature/],
    ['the hash', (file: SignedRecord) => { file.seal.sha256 = 'a'.repeat(64) }, /seal\.sha256 was changed/],
    ['the key', (file: SignedRecord) => { file.seal.publicKey = publicHexOf(otherKey) }, /the seal was changed/],
    ['the number', (file: SignedRecord) => { file.record.number = '3F9A2C11-000002' }, /^\/number is not as it was signed/],
  ])('says which: %s', (_what, change, words) => {
    const file = structuredClone(small())
    change(file)
    const [found] = judgeText(canonical(file), checks)
    expect(found?.is === 'changed' ? found.what.join(' ') : found?.is).toMatch(words)
  })
})

describe('what is no record', () => {
  it.each([
    ['an empty file', ''], ['a text', 'dear customer'], ['another JSON', '{"schema":"probewright/readings/1"}'], ['a list of nothing', '[]'], ['a list of lists', '[[1]]'],
    ['a newer version', '{"schema":"probewright/test-record/2"}'], ['a number', '17'], ['null', 'null'],
  ])('is told, and breaks nothing: %s', (_what, text) => {
    expect(verify([{ name: 'x', text }], [ownKey], checks)).toMatchObject({ verdict: 'not-a-record', faults: [] })
  })
  it('a record cut off in the middle was changed', () => {
    expect(verify([{ name: 'x', text: fileText(small()).slice(0, 5000) }], [ownKey], checks).verdict).toBe('changed')
  })
})

const job = { job: 'GC-2207', customer: 'Greenhouse Co-operative' }
const other = { job: 'FN-9', customer: 'Fen Nursery' }
const none = { job: '', customer: '' }

describe('the chain', () => {
  it('of all a shop’s records is whole, in any order of the files', () => {
    const chain = chainMade([{ sheet: job }, { sheet: none }, { sheet: other }, { sheet: job }])
    expect(verified(chain)).toMatchObject({ verdict: 'valid', faults: [] })
    expect(verified([...chain].reverse()).verdict).toBe('valid')
  })

  it('names one that is missing between two others', () => {
    const [first, , third, fourth] = chainMade([{ sheet: none }, { sheet: none }, { sheet: none }, { sheet: none }]) as [SignedRecord, SignedRecord, SignedRecord, SignedRecord]
    expect(verified([first, third, fourth])).toMatchObject({ verdict: 'broken-chain', faults: ['3F9A2C11-000002 is missing between 3F9A2C11-000001 and 3F9A2C11-000003.'] })
    expect(verified([first, fourth]).faults).toEqual(['2 records are missing between 3F9A2C11-000001 and 3F9A2C11-000004, the last of them 3F9A2C11-000003.'])
    // Nothing is said of what came before the first one given.
    expect(verified([third, fourth]).verdict).toBe('valid')
  })

  it('of a customer who has only the job’s records is whole though the shop’s numbers jump, and names one missing between two', () => {
    const [a, , b, , c] = chainMade([{ sheet: job }, { sheet: other }, { sheet: job }, { sheet: none }, { sheet: job }]) as [SignedRecord, SignedRecord, SignedRecord, SignedRecord, SignedRecord]
    expect(verified([a, b, c])).toMatchObject({ verdict: 'valid', faults: [] })
    expect(verified([a, c]).faults).toEqual(['3F9A2C11-000003 is missing between 3F9A2C11-000001 and 3F9A2C11-000005.'])
  })

  it('names a record that stands in another’s place, and two that bear one number', () => {
    const [first, second] = chainMade([{ sheet: none }, { sheet: none }]) as [SignedRecord, SignedRecord]
    const [swapped] = chainMade([{ sheet: { ...none, place: 'elsewhere' } }]) as [SignedRecord]
    expect(verified([swapped, second])).toMatchObject({ verdict: 'broken-chain', faults: [expect.stringMatching(/^3F9A2C11-000002 follows 3F9A2C11-000001 with the hash .+, not this 3F9A2C11-000001 with the hash/)] })
    expect(verified([first, swapped]).faults).toEqual(['Two different records bear the number 3F9A2C11-000001.'])
    expect(verified([first, first]).verdict).toBe('valid')
  })

  it('in one file stands in its order', () => {
    const [first, second, third] = chainMade([{ sheet: none }, { sheet: none }, { sheet: none }]) as [SignedRecord, SignedRecord, SignedRecord]
    const as = (files: SignedFile[]) => verify([{ name: 'job.json', text: fileText(files) }], [ownKey], checks)
    expect(as([first, second, third])).toMatchObject({ verdict: 'valid' })
    expect(as([first, third, second])).toMatchObject({ verdict: 'broken-chain', faults: ['job.json: 3F9A2C11-000002 stands behind 3F9A2C11-000003: the order was changed.'] })
  })

  it('of two shops are two chains', () => {
    const own = chainMade([{ sheet: none }])
    const theirs = chainMade([{ sheet: none }, { sheet: none }, { sheet: none }], '8c1d9a55-0f3e-4b6a-8a34-1d5c2b7e9f10')
    expect(verified([...own, ...theirs.slice(2)]).verdict).toBe('valid')
  })

  it('says which record a correction stands in for', () => {
    const chain = chainMade([{ sheet: job }, { sheet: job, replaces: { number: '3F9A2C11-000001', because: 'The serial number was read wrongly.' } }])
    expect(verified(chain)).toMatchObject({ verdict: 'valid', notes: ['3F9A2C11-000001 was replaced by 3F9A2C11-000002: The serial number was read wrongly.'] })
  })
})

describe('what a signed record says is not believed for its own sake', () => {
  const sealedAs = (file: SignedRecord, change: Partial<SignedRecord['record']>, key = testKey): SignedRecord => sealedRecord({ ...file.record, ...change }, key)
  const bothKeys = [ownKey, { publicKey: publicHexOf(otherKey), name: 'the key before' }]

  it('a number that is not that of its chain and place', () => {
    const [record] = chainMade([{ sheet: none }]) as [SignedRecord]
    for (const number of ['3F9A2C11-000007', '00000000-000001']) {
      expect(verified([sealedAs(record, { number })])).toMatchObject({ verdict: 'broken-chain', faults: [`${number} is not the number of record 1 of chain ${record.record.chain.id}: number and place contradict each other.`] })
    }
    // Chains begun with four digits keep theirs.
    expect(verified([sealedAs(record, { number: '3F9A-000001' })]).verdict).toBe('valid')
  })

  it('a chain that goes on under another key: a fault, unless both keys are known', () => {
    const [first, second] = chainMade([{ sheet: none }, { sheet: none }]) as [SignedRecord, SignedRecord]
    const taken = sealedAs(second, {}, otherKey)
    expect(verified([first, taken], []).faults).toEqual([expect.stringMatching(/^3F9A2C11-000002 is signed with another key \(.+\) than 3F9A2C11-000001 \(.+\): ask the issuer/)])
    expect(verified([first, taken]).verdict).toBe('broken-chain')
    expect(verified([first, taken], bothKeys)).toMatchObject({ verdict: 'valid', faults: [], notes: [expect.stringContaining('both keys are known')] })
  })

  it('a statement that another key signed', () => {
    const records = chainMade([{ sheet: job }])
    expect(verified([...records, statementMade(records, otherKey)]).faults).toEqual([expect.stringMatching(/^The statement of job GC-2207 is signed with another key/)])
    expect(verified([...records, statementMade(records, otherKey)], bothKeys).verdict).toBe('valid')
  })

  it('a correction of a record with that number which is another one, of another chain, or of another signer', () => {
    const because = 'The serial number was read wrongly.'
    const [first, second] = chainMade([{ sheet: job }, { sheet: job, replaces: { number: '3F9A2C11-000001', because } }]) as [SignedRecord, SignedRecord]
    const wrongHash = sealedAs(second, { replaces: { number: first.record.number, sha256: 'ab'.repeat(32), because } })
    expect(verified([first, wrongHash])).toMatchObject({ verdict: 'broken-chain', notes: [], faults: [expect.stringContaining('is not the one it names: its hash is another')] })
    const [theirs] = chainMade([{ sheet: job }], '8c1d9a55-0f3e-4b6a-8a34-1d5c2b7e9f10') as [SignedRecord]
    const across = sealedAs(theirs, { replaces: { number: first.record.number, sha256: first.seal.sha256, because } })
    expect(verified([first, across])).toMatchObject({ verdict: 'broken-chain', notes: [], faults: [expect.stringContaining('that is a record of another chain')] })
    const signer = sealedAs(second, {}, otherKey)
    expect(verified([first, signer]).faults).toContainEqual(expect.stringContaining('but another key signed it'))
    // Alone it is only what it says.
    expect(verified([wrongHash])).toMatchObject({ verdict: 'valid', notes: [expect.stringContaining('says that it stands in for 3F9A2C11-000001, which is not among these files')] })
  })

  it('an older statement beside newer records: it says as of when it speaks, and which records it does not know', () => {
    const [first, second, third] = chainMade([{ sheet: job }, { sheet: job }, { sheet: job }]) as [SignedRecord, SignedRecord, SignedRecord]
    const old = statementMade([first])
    expect(verified([first, old])).toMatchObject({ verdict: 'valid', notes: [`The statement of job GC-2207 says which records there were as of ${old.statement.at}, and nothing of later ones.`] })
    expect(verified([first, second, third, old]).notes).toContain('Not in that statement: 3F9A2C11-000002, 3F9A2C11-000003. Whether the job has more, only a newer statement tells.')
  })
})

describe('the statement of a job', () => {
  it('with all its records is whole; without the last one, or one between, that one is named', () => {
    const chain = chainMade([{ sheet: job }, { sheet: other }, { sheet: job }, { sheet: job }])
    const own = chain.filter(({ record }) => record.job === job.job) as [SignedRecord, SignedRecord, SignedRecord]
    const statement = statementMade(own)
    expect(verified([...own, statement])).toMatchObject({ verdict: 'valid', faults: [] })
    expect(verified([own[0], own[1], statement])).toMatchObject({ verdict: 'broken-chain', faults: ['3F9A2C11-000004 is missing: it is the last of job GC-2207, as its statement says.'] })
    expect(verified([own[1], own[2], statement]).faults).toEqual(['3F9A2C11-000001 is missing: it is record 1 of 3 of job GC-2207, as its statement says.'])
  })

  it('is found when it was changed, for every field', () => {
    const statement = statementMade(chainMade([{ sheet: job }]))
    for (const { path, value } of changedEverywhere(statement)) {
      const { verdict } = verify([{ name: path, text: canonical(value) }], [ownKey], checks)
      expect(verdict === 'changed' || (verdict === 'not-a-record' && path.startsWith('.schema')), `${path}: ${verdict}`).toBe(true)
    }
  })

  it('names a record that is another than it was', () => {
    const records = chainMade([{ sheet: job }, { sheet: job }]) as [SignedRecord, SignedRecord]
    const [changed] = chainMade([{ sheet: { ...job, place: 'elsewhere' } }]) as [SignedRecord]
    expect(verified([changed, statementMade(records.slice(0, 1))]).faults).toEqual(['3F9A2C11-000001 is not the record that the statement of job GC-2207 names: its hash is another.'])
  })
})
