/** The shop's decision rule, as ILAC-G8:09/2019 names them. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import type { DecisionRule } from '../../src-core/metrology/limits'
import { FigureField } from './figure-field'
import { figureOf } from './figure-of'
import { SaveLine } from './save-line'
import { useSave } from './use-save'

export const RuleForm = ({ rule }: { rule: DecisionRule }): JSX.Element => {
  const { call } = useSession()
  const [kind, setKind] = useState(rule.kind)
  const [r, setR] = useState(String(rule.r))
  const save = useSave()
  const submit = (): void => {
    const read = figureOf(r)
    if (read === null || read < 0 || read > 1) save.refuse('r must be a figure from 0 to 1.')
    else save.run(() => call('save-rule', { kind, r: read }))
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
          <label className="choice">
            <input type="radio" name="rule" checked={kind === 'simple-acceptance'} onChange={() => setKind('simple-acceptance')} />
            <span>
              <b>Simple acceptance</b> <span className="aside">within the limits passes</span>
            </span>
          </label>
          <label className="choice">
            <input type="radio" name="rule" checked={kind === 'guard-band'} onChange={() => setKind('guard-band')} />
            <span>
              <b>Guard band</b> <span className="aside">of r times the expanded uncertainty; nearer to a limit than that, conditional</span>
            </span>
          </label>
        </fieldset>
        {kind === 'guard-band' && (
          <div className="row explained">
            <FigureField words="r" unit="" value={r} change={setR} />
            <span className="aside">r is the share of the expanded uncertainty kept as a margin; 1 is the whole.</span>
          </div>
        )}
        <SaveLine save={save} words="Keep the rule" />
      </form>
    </section>
  )
}
