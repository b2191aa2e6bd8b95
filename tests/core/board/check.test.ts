import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { checkBoard } from '../../../src-core/board/check'
import { allBoards, sampleBoard, sampleJson, samplePicture } from '../circuit/sample'

type Json = Record<string, unknown>
const set = (json: Json, path: readonly (string | number)[], value: unknown): Json => {
  const [last, ...up] = [...path].reverse()
  const holder = up.reverse().reduce<unknown>((at, key) => (at as Json)[key as string], json) as Json
  if (value === undefined) delete holder[last as string]
  else holder[last as string] = value
  return json
}
const found = (path: readonly (string | number)[], value: unknown): { field: string; message: string }[] => {
  const checked = checkBoard(set(sampleJson(), path, value), 'boards/x/board.json')
  if (!('problems' in checked)) return []
  expect(checked.problems.every(({ file }) => file === 'boards/x/board.json')).toBe(true)
  return checked.problems.map(({ field, message }) => ({ field, message }))
}
const stepNo = (id: string): number => sampleBoard().sequence.steps.findIndex((step) => step.id === id)
const r3 = stepNo('r3')

describe('the sample board', () => {
  it('is sound', () => expect(checkBoard(sampleJson(), 'board.json')).toHaveProperty('board'))
  it('is extra-low, has at least ten measure steps of both diode directions, a look, a do, and a way beyond repair', () => {
    const { hazard, sequence: { steps } } = sampleBoard()
    expect(hazard).toBe('extra-low')
    expect(steps.filter(({ kind }) => kind === 'measure').length).toBeGreaterThanOrEqual(10)
    expect(steps.some(({ kind }) => kind === 'look') && steps.some(({ kind }) => kind === 'do')).toBe(true)
    expect(steps.flatMap(({ then }) => then).filter((branch) => 'stop' in branch && branch.stop === 'beyond-repair'
      && branch.because.length > 40)).toHaveLength(2)
  })
})

describe.each(allBoards)('%s', (folder) => {
  it('is sound', () => expect(checkBoard(sampleJson(folder), 'board.json')).toHaveProperty('board'))
  it('every measure step says which parts, where, and what a fail means', () => {
    for (const step of sampleBoard(folder).sequence.steps) {
      if (step.kind === 'measure') expect([step.id, step.parts.length > 0, (step.where ?? '') !== '',
        (step.means ?? '') !== '']).toEqual([step.id, true, true, true])
    }
  })
  it('the picture has the size the file says, names its revision, and draws every test point’s part', () => {
    const board = sampleBoard(folder)
    const svg = samplePicture(folder)
    expect(svg).toContain(`viewBox="0 0 ${board.pictures[0]?.width} ${board.pictures[0]?.height}"`)
    expect(svg).toContain(`>rev ${board.revision}<`)
    for (const { ref } of board.parts) expect(svg, ref).toContain(`id="${ref}"`)
    for (const [, drawn = ''] of svg.matchAll(/<g id="([A-Z]+\d+)"/g)) expect(board.parts.map(({ ref }) => ref), drawn).toContain(drawn)
  })
  it('every test point lies within 4 units of the middle of a drawn pad, leg, pin or screw', () => {
    const svg = samplePicture(folder)
    const figure = (tag: string, name: string): number => Number(new RegExp(` ${name}="([\\d.]+)"`).exec(tag)?.[1] ?? Number.NaN)
    const metal = svg.match(/<g fill="url\(#gold\)"[^>]*>.*?<\/g>|<(?:rect|circle) [^>]*fill="url\(#(?:gold|tin|screw)\)"[^>]*>/g) ?? []
    const middles = metal.flatMap((tag) => tag.match(/<(?:rect|circle) [^>]*>/g) ?? []).map((tag): [number, number] =>
      (tag.startsWith('<circle')
      ? [figure(tag, 'cx'), figure(tag, 'cy')] : [figure(tag, 'x') + figure(tag, 'width') / 2,
        figure(tag, 'y') + figure(tag, 'height') / 2]))
    for (const { id, x, y } of sampleBoard(folder).testPoints) expect(middles.some(([cx, cy]) => Math.hypot(cx - x, cy - y) <= 4), id).toBe(true)
  })
  it('the picture runs nothing and fetches nothing', () => {
    expect(samplePicture(folder)).not.toMatch(/<script|<style|<foreignObject|\son\w+=|href="(?!#)|url\((?!#)/)
  })
})

describe('a field that is wrong is named by its path', () => {
  it.each<[string, (string | number)[], unknown, string, RegExp]>([
    ['missing', ['name'], undefined, 'name', /^is missing; write text in quotes$/],
    ['of another type', ['testPoints', 2, 'x'], '58', 'testPoints[2].x', /^must be a number, not "58"$/],
    ['out of its choices', ['hazard'], 'low', 'hazard', /^must be one of "extra-low", "hazardous", not "low"$/],
    ['unknown key', ['colour'], 'green', '(whole file)', /unknown key "colour"/],
    ['a step’s lead', ['sequence', 'steps', r3, 'red'], undefined, `sequence.steps[${r3}].red`, /^is missing/],
    ['a step’s kind', ['sequence', 'steps', r3, 'kind'], 'probe', `sequence.steps[${r3}].kind`,
      /^must be "measure", "look", "do", "watch" or "walk", not "probe"$/],
    ['limits of no kind', ['sequence', 'steps', r3, 'limits'], 'about right', `sequence.steps[${r3}].limits`,
      /^must be "open", "short", .*not "about right"$/],
    ['limits the wrong way round', ['sequence', 'steps', r3, 'limits'], { between: [231, 209] }, `sequence.steps[${r3}].limits.between`,
      /first figure must be below the second/],
    ['a tolerance in percent', ['sequence', 'steps', r3, 'limits'], { nominal: 220, tolerance: 5 },
      `sequence.steps[${r3}].limits.tolerance`, /^must be at most 1, not 5$/],
    ['an unknown limit', ['sequence', 'steps', r3, 'limits'], { atmost: 3 }, `sequence.steps[${r3}].limits`,
      /unknown key "atmost"|must be/],
    ['a branch without an end', ['sequence', 'steps', r3, 'then'], [{ when: 'fail', goTo: 'd5-forward', stop: 'fail' }],
      `sequence.steps[${r3}].then[0]`, /unknown key/],
    ['a branch on nonsense', ['sequence', 'steps', r3, 'then'], [{ when: 'smoke', goTo: 'd5-forward' }],
      `sequence.steps[${r3}].then[0].when`, /^must be a verdict/],
    ['a picture in another folder', ['pictures', 0, 'file'], '../top.svg', 'pictures[0].file',
      /must be the name of an SVG, PNG or JPEG beside the board file; it is "..\/top.svg"/],
    ['an id of the preparation', ['sequence', 'steps', r3, 'id'], 'prepare/r3', `sequence.steps[${r3}].id`,
      /^must not begin with "prepare\/"/],
    ['how to tell without words', ['tell', 'words'], undefined, 'tell.words', /^is missing; write text in quotes$/],
    ['no steps', ['sequence', 'steps'], [], 'sequence.steps', /^is too short: it needs at least 1 entries$/],
  ])('%s', (_, path, value, field, message) => {
    expect(found(path, value)).toContainEqual({ field, message: expect.stringMatching(message) as string })
  })
  it('a file that is no object', () => expect(checkBoard('board',
    'b')).toEqual({ problems: [{ file: 'b', field: '(whole file)', message: 'must be an object in { }, not "board"' }] }))
})

describe('what a file names must exist in it', () => {
  it.each<[string, (string | number)[], unknown, string, RegExp]>([
    ['net of a test point', ['testPoints', 0, 'net'], 'NOWHERE', 'testPoints[0].net', /"NOWHERE" is not in nets/],
    ['picture of a test point', ['testPoints', 0, 'picture'], 'bottom', 'testPoints[0].picture', /pictures are "top"/],
    ['place outside the picture', ['testPoints', 0, 'x'], 721, 'testPoints[0].x', /721 lies outside the picture, which is 720 wide/],
    ['picture of how to tell', ['tell', 'picture'], 'bottom', 'tell.picture', /"bottom" is not the id of a picture; the pictures are "top"/],
    ['place of how to tell', ['tell', 'y'], 521, 'tell.y', /521 lies outside the picture, which is 520 high/],
    ['picture of a part', ['parts', 5, 'place', 'picture'], 'bottom', 'parts[5].place.picture', /^"bottom" is not the id of a picture; the pictures are "top"; correct the place of R4, or leave it out$/],
    ['place of a part', ['parts', 5, 'place', 'y'], -1, 'parts[5].place.y', /^-1 lies outside the picture, which is 520 high; correct the place of R4, or leave it out$/],
    ['half a place of a part', ['parts', 5, 'place'], { picture: 'top', x: 210 }, 'parts[5].place.y', /number/],
    ['net of a pin', ['parts', 5, 'pins', '1'], 'NOWHERE', 'parts[5].pins.1', /not in nets/],
    ['a resistor without its value', ['parts', 5, 'value'], undefined, 'parts[5].value', /R4 is a resistor; write its value/],
    ['a diode’s pins', ['parts', 7, 'pins'], { a: 'GND', k: 'A' }, 'parts[7].pins', /name its pins "anode" and "cathode"/],
    ['point of a store', ['energyStores', 0, 'red'], 'C99.1', 'energyStores[0].red', /not a test point/],
    ['point of a step', ['sequence', 'steps', r3, 'black'], 'R33.2', `sequence.steps[${r3}].black`, /not a test point/],
    ['part of a step', ['sequence', 'steps', r3, 'parts'], ['R33'], `sequence.steps[${r3}].parts[0]`, /not a part of this board/],
    ['both leads on one point', ['sequence', 'steps', r3, 'black'], 'J1.2', `sequence.steps[${r3}].black`, /same test point as red/],
    ['branch to nowhere', ['sequence', 'steps', r3, 'then'], [{ when: 'fail', goTo: 'r99' }], `sequence.steps[${r3}].then[0].goTo`,
      /not a step of this sequence/],
    ['branch backwards', ['sequence', 'steps', r3, 'then'], [{ when: 'fail', goTo: 'look' }], `sequence.steps[${r3}].then[0].goTo`,
      /only goes forward/],
    ['branch to itself', ['sequence', 'steps', r3, 'then'], [{ when: 'fail', goTo: 'r3' }], `sequence.steps[${r3}].then[0].goTo`,
      /only goes forward/],
    ['an id twice', ['sequence', 'steps', r3, 'id'], 'r4', `sequence.steps[${r3}].id`, /"r4" is used twice; give each step its own/],
    ['resistance under power', ['sequence', 'steps', r3, 'powered'], true, `sequence.steps[${r3}].powered`,
      /never measured on a supplied board/],
    ['volts with no power', ['sequence', 'steps', r3, 'function'], 'dc-voltage', `sequence.steps[${r3}].powered`,
      /means something only on a supplied board/],
    ['a value to compare in a look', ['sequence', 'steps', 0, 'then'], [{ when: { below: 1 }, goTo: 'r3' }],
      'sequence.steps[0].then[0].when', /a look step has no value/],
  ])('%s', (_, path, value, field, message) => {
    expect(found(path, value)).toContainEqual({ field, message: expect.stringMatching(message) as string })
  })
  it('all problems are told at once', () => {
    const json = set(set(sampleJson(), ['testPoints', 0, 'net'], 'X'), ['energyStores', 0, 'red'], 'Y')
    const checked = checkBoard(json, 'b')
    expect('problems' in checked && checked.problems.map(({ field }) => field)).toEqual(['testPoints[0].net', 'energyStores[0].red'])
  })
})

it('never throws, whatever stands in the file', () => {
  fc.assert(fc.property(fc.jsonValue(), fc.constantFrom('nets', 'parts', 'sequence', 'testPoints', 'energyStores', 'pictures', 'cautions'),
    (value, key) => {
    const checked = checkBoard({ ...sampleJson(), [key]: value }, 'b')
    if ('problems' in checked) for (const { message, field } of checked.problems) expect(message !== '' && field !== ''
      && !message.includes('undefined')).toBe(true)
  }), { seed: 3, numRuns: 300 })
})

describe('what can hold a voltage must be provable', () => {
  const fields = (path: readonly (string | number)[], value: unknown): string[] => found(path, value).map(({ field }) => field)
  it('a capacitor of 4.7 µF or more that no energy store spans is named', () =>
    expect(fields(['energyStores'], sampleBoard().energyStores.filter(({ id }) => id !== 'bulk'))).toEqual([expect.stringMatching(/^parts\[\d+\]$/)]))
  it('mains and extra-low do not go together', () => expect(fields(['mainsReferenced'], true)).toEqual(['hazard']))
  it('a hazardous board names its energy stores', () => {
    const json = set(sampleJson(), ['hazard'], 'hazardous')
    const checked = checkBoard(set(json, ['energyStores'], []), 'board.json')
    expect('problems' in checked ? checked.problems.map(({ field }) => field) : []).toContain('energyStores')
  })
})

describe('what a board type adds to the uncertainty', () => {
  const added = [{ what: 'R9 in parallel', plusMinus: 1.5 }]
  it('is taken for a step, and for a function that a step measures', () => {
    expect(found(['sequence', 'steps', r3, 'addedUncertainty'], added)).toEqual([])
    expect(found(['addedUncertainty'], added.map((each) => ({ function: 'resistance', ...each })))).toEqual([])
  })
  it.each([
    ['a function that no step measures', ['addedUncertainty'], [{ function: 'temperature', what: 'draught', plusMinus: 1 }], 'addedUncertainty[0].function', 'no step measures temperature'],
    ['a half-width of nothing', ['sequence', 'steps', r3, 'addedUncertainty'], [{ what: 'R9', plusMinus: 0 }], `sequence.steps[${r3}].addedUncertainty[0].plusMinus`, 'above 0'],
    ['a part with no name', ['sequence', 'steps', r3, 'addedUncertainty'], [{ plusMinus: 1 }], `sequence.steps[${r3}].addedUncertainty[0].what`, 'is missing; write text in quotes'],
    ['an empty list', ['addedUncertainty'], [], 'addedUncertainty', 'needs at least 1'],
  ])('%s is refused where it stands', (_name, path, value, field, message) => {
    const problems = found(path, value)
    expect(problems.map((each) => each.field)).toEqual([field])
    expect(problems[0]?.message).toContain(message)
  })
  it('means nothing beside open limits', () => {
    const open = sampleBoard().sequence.steps.findIndex((step) => step.kind === 'measure' && step.limits === 'open')
    expect(found(['sequence', 'steps', open, 'addedUncertainty'], added)).toEqual([{ field: `sequence.steps[${open}].addedUncertainty`, message: expect.stringContaining('no meaning with "open" limits') as string }])
  })
})

describe('a measure step without limits', () => {
  const stepWith = (change: Record<string, unknown>): { field: string; message: string }[] => {
    const json = sampleJson()
    const steps = (json.sequence as { steps: Json[] }).steps
    const { limits: _typed, ...bare } = steps[r3] as Json
    steps[r3] = { ...bare, ...change }
    const checked = checkBoard(json, 'board.json')
    return 'problems' in checked ? checked.problems.map(({ field, message }) => ({ field, message })) : []
  }
  it('is sound where the nets say what a good board reads there', () => expect(stepWith({})).toEqual([]))
  it.each([
    ['a function that is not computed', { function: 'dc-voltage', powered: true }, 'what a supplied board reads is not computed'],
    ['capacitance with no capacitor across', { function: 'capacitance' }, 'no capacitor of this file lies straight across J1.2 and R3.2'],
  ])('is refused with what to do: %s', (_name, change, because) => {
    const problems = stepWith(change)
    expect(problems).toEqual([{ field: `sequence.steps[${r3}].limits`, message: `is missing, and none can be computed: ${because}; write limits, or "goodBoards": true` }])
  })
  it('is sound where good boards are to judge it, and those judge nothing that has limits', () => {
    expect(stepWith({ function: 'dc-voltage', powered: true, goodBoards: true })).toEqual([])
    expect(stepWith({ goodBoards: true, limits: { atMost: 5 } })).toEqual([{ field: `sequence.steps[${r3}].goodBoards`, message: 'judge only where no limits are written; remove it, or the limits' }])
  })
  it('is refused where no part lies on its nets, and where too few ohms lie across a capacitor', () => {
    const json = sampleJson()
    const { sequence, parts } = json as { sequence: { steps: Json[] }; parts: Json[] }
    const problemsOf = (): string[] => { const checked = checkBoard(json, 'board.json'); return 'problems' in checked ? checked.problems.filter(({ field }) => field.endsWith('.limits')).map(({ message }) => message) : [] }
    delete sequence.steps[r3]?.limits
    json.nets = [...json.nets as string[], 'LONE']
    json.testPoints = [...json.testPoints as Json[], { id: 'X1', net: 'LONE', picture: 'top', x: 10, y: 10, words: 'the lone pad' }]
    Object.assign(sequence.steps[r3] as Json, { red: 'X1' })
    expect(problemsOf()).toEqual(['is missing, and none can be computed: no part of this file lies on net "LONE" of X1, so what a good board reads is not known; write limits, or "goodBoards": true'])
    json.nets = (json.nets as string[]).filter((net) => net !== 'LONE')
    json.testPoints = (json.testPoints as Json[]).filter(({ id }) => id !== 'X1')
    json.parts = [...parts, { ref: 'C77', kind: 'capacitor', value: 1e-7, pins: { 1: 'A', 2: 'A_IC' } }]
    Object.assign(sequence.steps[r3] as Json, { red: 'T1.1', black: 'T1.2', function: 'capacitance' })
    expect(problemsOf()).toEqual(['is missing, and none can be computed: too few ohms lie across that capacitor for a capacitance to be read; write limits or "goodBoards": true, or choose other test points'])
  })
})
