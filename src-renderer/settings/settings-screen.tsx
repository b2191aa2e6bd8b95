/** Sound and keys: how the bench speaks and sounds, and which key or pedal does what. Kept at once, for every screen of this shop. */
import type { JSX } from 'react'
import type { BenchSettings } from '../../src-core/settings/bench-settings'
import { useApp, useSession } from '../app/session'
import { useKeys } from '../keys/use-keys'
import { useSave, type Save } from '../library/use-save'
import { KeysCard } from './keys-card'
import { SigningKeyCard } from './signing-key-card'
import { TonesCard } from './tones-card'
import { VoiceCard } from './voice-card'

export type CardProps = { settings: BenchSettings; keep: (settings: BenchSettings) => void }

const Kept = ({ save }: { save: Save }): JSX.Element => (
  <p role={save.failed ? 'alert' : 'status'} className={save.failed ? 'form-fault kept' : 'aside kept'} data-testid="kept">
    {save.words === '' ? 'What you change here is kept at once.' : save.words}
  </p>
)

export const SettingsScreen = (): JSX.Element => {
  const { call, go } = useSession()
  const settings = useApp((state) => state.settings)
  const bench = useApp((state) => state.bench)
  const save = useSave()
  const keep = (next: BenchSettings): void => save.run(() => call('save-settings', next))
  useKeys(bench === null ? [] : [{ key: 'Esc', run: () => go('bench') }], { scanned: () => undefined, ignored: () => undefined })
  return (
    <div className="settings">
      <div className="settings-head">
        <h1>Sound and keys</h1>
        <Kept save={save} />
        {bench !== null && <span className="aside"><kbd>Esc</kbd>back to the bench</span>}
      </div>
      <KeysCard settings={settings} keep={keep} />
      <VoiceCard settings={settings} keep={keep} />
      <TonesCard settings={settings} keep={keep} />
      <SigningKeyCard />
    </div>
  )
}
