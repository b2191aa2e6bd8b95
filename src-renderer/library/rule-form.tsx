/** The shop's decision rule, as ILAC-G8:09/2019 names them. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import type { DecisionRule } from '../../src-core/metrology/limits'
import { presetOf, presets, ruleInWords } from '../../src-core/metrology/rules'
import { FigureField } from './figure-field'
import { figureOf } from './figure-of'
import { SaveLine } from './save-line'
import { useSave } from './use-save'

/** What the contract takes. */
const mostR = 3

export const RuleForm = ({ rule }: { rule: DecisionRule }): JSX.Element => {
  const { call } = useSession()
  /** A preset's place in the list; null: the shop's own r. */
  const [chosen, setChosen] = useState(() => {
    const preset = presetOf(rule)
    return preset === null ? null : presets.indexOf(preset)
  })
  const [r, setR] = useState(String(rule.r === 0 ? 1 : rule.r))
  const save = useSave()
  const own = figureOf(r)
  const ownRule: DecisionRule | null = own === null || own <= 0 || own > mostR ? null : { kind: 'guard-band', r: own }
  const next = chosen === null ? ownRule : presets[chosen]?.rule ?? null
  const submit = (): void => {
    if (next === null) save.refuse(`r must be a figure above 0 and at most ${mostR}.`)
    else save.run(() => call('save-rule', next))
  }
  return (
    <section className="card" aria-labelledby="rule-title">
      <h2 id="rule-title">Decision rule</h2>
      <form
        className="form wide"
        onSubmit={(event) => {
          event.preventDefault()
          submit()
        }}
        onChange={save.touched}
      >
        <fieldset className="choices">
          <legend>How a value near its limit is judged</legend>
          {presets.map(({ name, risk }, index) => (
            <label key={name} className="choice">
              <input type="radio" name="rule" checked={chosen === index} onChange={() => setChosen(index)} />
              <span>
                <b>{name.charAt(0).toUpperCase() + name.slice(1)}</b> <span className="aside">risk of a wrong pass {risk}</span>
              </span>
            </label>
          ))}
          <label className="choice">
            <input type="radio" name="rule" checked={chosen === null} onChange={() => setChosen(null)} />
            <span>
              <b>Guard band of r U</b> <span className="aside">with an r of your own, up to {mostR}</span>
            </span>
          </label>
        </fieldset>
        {chosen === null && (
          <div className="row explained">
            <FigureField words="r" unit="" value={r} change={setR} />
            <span className="aside">r is how many times the expanded uncertainty U is kept as a margin.</span>
          </div>
        )}
        {next !== null && <p data-testid="rule-words">{ruleInWords(next)}</p>}
        <SaveLine save={save} words="Keep the rule" />
      </form>
    </section>
  )
}
