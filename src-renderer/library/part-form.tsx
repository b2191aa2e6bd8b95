/** One part of a meter with its own button to keep it, so that what is typed in one part never overwrites another. */
import type { JSX, ReactNode } from 'react'
import { SaveLine } from './save-line'
import type { Save } from './use-save'

type Props = { id: string; title: string; save: Save; words: string; submit: () => void; children: ReactNode }

export const PartForm = ({ id, title, save, words, submit, children }: Props): JSX.Element => (
  <section className="card" aria-labelledby={id}>
    <h2 id={id}>{title}</h2>
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault()
        submit()
      }}
      onChange={save.touched}
    >
      {children}
      <SaveLine save={save} words={words} />
    </form>
  </section>
)
