import { describe, expect, it } from 'vitest'
import { partInQuestion } from '../../../src-core/repair/view'
import { hasFailed, isNextAsked } from '../../../src-core/run/diagnosis-on-bench'

const next = { words: '', why: '', step: 'r1', action: 'measure' as const }
type Step = NonNullable<Parameters<typeof isNextAsked>[1]>
const step = { id: 'r1', function: 'resistance', red: { testPoint: 'J1.1' }, black: { testPoint: 'R1.2' } } as Step

describe('the bench', () => {
  it('asks for what tells most where it asks for that step', () => {
    expect([isNextAsked(next, step), isNextAsked({ ...next, step: 'r2' }, step), isNextAsked(undefined, step), isNextAsked(next, null)]).toEqual([true, false, false, false])
  })
  it('asks for a part alone where both tips and the function are those', () => {
    const alone = { red: 'J1.1', black: 'R1.2', function: 'resistance' as const }
    const asked = (change: Partial<typeof alone> | { function: 'diode' }) => isNextAsked({ ...next, step: null, alone: { ...alone, ...change } }, step)
    expect([asked({}), asked({ red: '~R1.1' }), asked({ function: 'diode' })]).toEqual([true, false, false])
  })
  it('has failed with one step that did', () => {
    expect([hasFailed([{ verdict: 'pass' }, { verdict: 'conditional-fail' }]), hasFailed([{ verdict: 'pass' }, { verdict: null }])]).toEqual([true, false])
  })
})

describe('a repair log', () => {
  const view = (logged: string[], suggested: string | null) => ({
    parts: ['R1', 'D1'].map((ref) => ({ ref })), entries: logged.map((part) => ({ part, struck: null })), suggested,
  }) as unknown as Parameters<typeof partInQuestion>[0]
  it('begins at the surest part that is not logged yet, else where the steps point, else at none', () => {
    expect([partInQuestion(view([], 'R1'), ['D1']), partInQuestion(view(['D1'], 'R1'), ['D1']), partInQuestion(view([], null), ['X9']), partInQuestion(view([], null), [])]).toEqual(['D1', 'R1', null, null])
  })
})
