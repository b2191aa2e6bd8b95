/** The button that keeps a form, with what came of it. */
import type { JSX } from 'react'
import type { Save } from './use-save'

export const SaveLine = ({ save, words }: { save: Save; words: string }): JSX.Element => (
  <p className="save-line">
    <button type="submit" className="main-act second" disabled={save.busy}>{words}</button>
    <span role={save.failed ? 'alert' : 'status'} className={save.failed ? 'form-fault' : 'aside'}>{save.words}</span>
  </p>
)
