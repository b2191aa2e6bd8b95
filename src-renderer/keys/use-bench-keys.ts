/** The keys of this moment as this shop has bound them. */
import { useSyncExternalStore } from 'react'
import type { BenchView } from '../../src-core/run/view'
import { benchKeys, type BenchKey } from '../../src-core/settings/key-bindings'
import { useApp, useSession } from '../app/session'
import type { VoiceState } from '../voice/voice'

export const useVoiceState = (): VoiceState => {
  const { voice } = useSession()
  return useSyncExternalStore(voice.subscribe, voice.get)
}

/** Something is said aloud on this machine, or would be once a key is pressed. */
const canSpeak = (state: VoiceState): boolean => state === 'ready' || state === 'waiting' || state === 'failed'

export const useBenchKeys = (bench: BenchView): BenchKey[] => {
  const settings = useApp((state) => state.settings)
  const voice = useVoiceState()
  return benchKeys(bench.keys, settings.keys, settings.speech.on && canSpeak(voice))
}
