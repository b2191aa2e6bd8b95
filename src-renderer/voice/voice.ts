/** What a voice is to the bench: it says one sentence at a time, and says whether it can. */

/** `off`: no speech here; `none`: no voice to speak with; `waiting`: the browser wants a key pressed first. */
export type VoiceState = 'ready' | 'waiting' | 'none' | 'online-only' | 'failed' | 'off'

export type Voice = {
  /** Cuts short what it is saying. `done` is called once, when the sentence was said or could not be; not when it was cut short. */
  speak: (sentence: string, how: { rate: number; volume: number }, done: () => void) => void
  stop: () => void
  get: () => VoiceState
  /** The name of the voice, and whether it is an English one. */
  about: () => { name: string; english: boolean } | null
  subscribe: (listener: () => void) => () => void
}

/** Where there is no speech: everything is on screen all the same. */
export const silentVoice: Voice = {
  speak: (_sentence, _how, done) => done(),
  stop: () => undefined,
  get: () => 'off',
  about: () => null,
  subscribe: () => () => undefined,
}

export const voiceWords: Record<Exclude<VoiceState, 'ready'>, string> = {
  waiting: 'The voice begins once a key is pressed.',
  none: 'No voice is installed for this browser, so nothing is said aloud; all of it stands on screen. '
    + 'Install a speech voice in the settings of the operating system, then open this page again.',
  'online-only': 'The only voices here send what they say over the internet, so they are not used. '
    + 'Install a speech voice in the settings of the operating system.',
  failed: 'The voice of this browser could not speak the last sentence. All of it stands on screen; '
    + 'try another voice in the settings of the operating system.',
  off: 'This browser cannot speak. All that would be said stands on screen.',
}
