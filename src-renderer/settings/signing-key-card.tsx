/** The shop's signing key: which it is, its backup under a passphrase, and its return from a backup. The passphrase stays in its field and is forgotten after use. */
import { useEffect, useState, type JSX } from 'react'
import type { CommandOutput } from '../../src-core/contract'
import { keyInWords } from '../../src-core/record/key-in-words'
import { useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { SaveLine } from '../library/save-line'
import { useSave } from '../library/use-save'
import { saveExport } from '../records/export-line'

type Known = CommandOutput<'signing-key'>

const Secret = ({ words, value, change, testId, made }: { words: string; value: string; change: (value: string) => void; testId: string; made: boolean }): JSX.Element => (
  <label className="field">
    <span>{words}</span>
    <input type="password" value={value} maxLength={400} autoComplete={made ? 'new-password' : 'off'} data-testid={testId} onChange={(event) => change(event.target.value)} />
  </label>
)

const BackUp = (): JSX.Element => {
  const { call } = useSession()
  const [typed, setTyped] = useState({ first: '', again: '' })
  const save = useSave()
  const put = (part: Partial<typeof typed>): void => {
    save.touched()
    setTyped({ ...typed, ...part })
  }
  return (
    <form
      className="form" aria-label="Back up the signing key"
      onSubmit={(event) => {
        event.preventDefault()
        if (typed.first !== typed.again) {
          save.refuse('The two passphrases differ. Nothing was backed up.')
          return
        }
        save.run(() => call('back-up-key', { passphrase: typed.first }).then(({ path, name }) => {
          saveExport(path, name)
          setTyped({ first: '', again: '' })
        }))
      }}
    >
      <Secret words="Passphrase, at least 12 characters" value={typed.first} change={(first) => put({ first })} testId="backup-passphrase" made />
      <Secret words="The same once more" value={typed.again} change={(again) => put({ again })} testId="backup-again" made />
      <SaveLine save={save} words="Back up" />
    </form>
  )
}

const Restore = ({ restored }: { restored: () => void }): JSX.Element => {
  const { call } = useSession()
  const [backup, setBackup] = useState<string | null>(null)
  const [passphrase, setPassphrase] = useState('')
  const [asked, setAsked] = useState<{ present: string; backup: string } | null>(null)
  const [came, setCame] = useState<{ publicKey: string; name: string } | null>(null)
  const save = useSave()
  const touched = (): void => {
    save.touched()
    setCame(null)
  }
  const restore = (replace: boolean): void => {
    if (backup === null) {
      save.refuse('Choose the file of the backup first.')
      return
    }
    setCame(null)
    save.run(async () => {
      const answer = await call('restore-key', { backup, passphrase, replace })
      if (answer.is === 'asks') {
        setAsked(answer)
        throw new Error('Another key signs the records here. Nothing was restored yet.')
      }
      setAsked(null)
      setPassphrase('')
      setCame(answer)
      restored()
    })
  }
  return (
    <form
      className="form" aria-label="Restore a signing key"
      onSubmit={(event) => {
        event.preventDefault()
        restore(false)
      }}
    >
      <label className="field">
        <span>Backup file</span>
        <input
          type="file" accept=".json,application/json" data-testid="restore-file"
          onChange={(event) => {
            touched()
            setAsked(null)
            setBackup(null)
            const [file] = event.target.files ?? []
            if (file !== undefined) file.slice(0, 20_000).text().then(setBackup, (error: Error) => save.refuse(error.message))
          }}
        />
      </label>
      <Secret words="Its passphrase" value={passphrase} change={(value) => { touched(); setPassphrase(value) }} testId="restore-passphrase" made={false} />
      <SaveLine save={save} words="Restore" />
      {came !== null && (
        <p role="status" data-testid="restored-words">
          Restored: the key <code>{keyInWords(came.publicKey)}</code> of {came.name}. It signs from now on.
        </p>
      )}
      {asked !== null && (
        <div role="group" aria-label="Another key is here">
          <p>
            Now <code>{keyInWords(asked.present)}</code> signs here. It is set aside, not deleted, and <code>{keyInWords(asked.backup)}</code> signs from then on.
          </p>
          <button type="button" className="main-act second" data-testid="restore-replace" onClick={() => restore(true)}>
            Set it aside and restore
          </button>
        </div>
      )}
    </form>
  )
}

export const SigningKeyCard = (): JSX.Element => {
  const { call } = useSession()
  const lost = useLost()
  const [known, setKnown] = useState<Known | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  const [asked, setAsked] = useState(0)
  useEffect(() => {
    if (lost) return
    let over = false
    call('signing-key', {}).then((read) => { if (!over) setKnown(read) }, (error: Error) => { if (!over) setFault(error.message) })
    return () => { over = true }
  }, [call, lost, asked])
  const problem = fault ?? known?.problem ?? null
  return (
    <section className="card signing-key" aria-labelledby="signing-key-title" data-testid="signing-key">
      <h2 id="signing-key-title">Signing key of the records</h2>
      {problem !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {problem}
        </p>
      )}
      {known !== null && (
        <p data-testid="signing-key-words">
          {known.key === null ? 'There is no key here that can sign. The first record makes one; a backup brings one back.' : <>The key of {known.key.name}: <code>{keyInWords(known.key.publicKey)}</code></>}
        </p>
      )}
      <p className="aside">Without this key no later record can be signed as this shop. Keep a backup away from this computer; without its passphrase nobody can use or restore it.</p>
      <div className="key-forms">
        {known !== null && known.key !== null && <BackUp />}
        <Restore restored={() => setAsked((n) => n + 1)} />
      </div>
    </section>
  )
}
