/** What a camera sees, and a photograph of it before or after the repair; the camera is on only while this is shown. */
import { useEffect, useRef, useState, type JSX } from 'react'
import type { Photograph } from '../../src-core/repair/entry'

const refusals: Record<string, string> = {
  NotAllowedError: 'The camera was refused. Allow it for this page, in the browser or the system’s settings, or choose a file.',
  NotFoundError: 'No camera was found. Connect one, or choose a file.',
  NotSupportedError: 'This browser cannot ask for the camera. Allow it in its settings, or choose a file.',
  NotReadableError: 'The camera is in use by another program. Close that one, or choose a file.',
}

const inWords = (error: unknown): string => (error instanceof DOMException ? refusals[error.name] : undefined) ?? `The camera gave no picture (${error instanceof Error ? error.message : String(error)}). Choose a file.`

/** Old browsers, and pages that came over an open network, have no cameras at all. */
const openCamera = async (): Promise<MediaStream> => {
  if (!('mediaDevices' in navigator)) throw new DOMException('', 'NotSupportedError')
  return navigator.mediaDevices.getUserMedia(wished)
}

/** The board lies before the camera that looks away from the user, where there are two. */
const wished: MediaStreamConstraints = { audio: false, video: { facingMode: 'environment', width: { ideal: 1600 }, height: { ideal: 1200 } } }

const pictureOf = (video: HTMLVideoElement): Promise<Blob> => new Promise((resolve, reject) => {
  const canvas = document.createElement('canvas')
  canvas.width = video.videoWidth
  canvas.height = video.videoHeight
  canvas.getContext('2d')?.drawImage(video, 0, 0)
  canvas.toBlob((blob) => (blob === null ? reject(new Error('The camera gave no picture. Try again, or choose a file.')) : resolve(blob)), 'image/png')
})

type Props = { take: (when: Photograph['when'], picture: Blob) => void; close: () => void; fault: (words: string) => void; busy: boolean }

export const Camera = ({ take, close, fault, busy }: Props): JSX.Element => {
  const video = useRef<HTMLVideoElement>(null)
  const [sees, setSees] = useState(false)
  // What to do when no picture comes may change from one drawing to the next; the camera stays on.
  const failing = useRef<(error: unknown) => void>(() => undefined)
  useEffect(() => {
    failing.current = (error) => {
      fault(inWords(error))
      close()
    }
  })
  useEffect(() => {
    let stream: MediaStream | null = null
    let over = false
    const stop = (): void => { for (const track of stream?.getTracks() ?? []) track.stop() }
    openCamera().then(async (opened) => {
      stream = opened
      const at = video.current
      if (over || at === null) stop()
      else {
        at.srcObject = opened
        await at.play()
      }
    }).catch((error: unknown) => { if (!over) failing.current(error) })
    return () => {
      over = true
      stop()
    }
  }, [])
  const shoot = (when: Photograph['when']): void => {
    if (video.current !== null) pictureOf(video.current).then((picture) => take(when, picture), (error: unknown) => { failing.current(error) })
  }
  return (
    <div className="camera" role="group" aria-label="Camera">
      <video ref={video} muted playsInline data-testid="camera-view" onPlaying={() => setSees(true)} />
      <div className="row">
        {(['before', 'after'] as const).map((when) => (
          <button key={when} type="button" data-testid={`shoot-${when}`} disabled={!sees || busy} onClick={() => shoot(when)}>
            take {when}
          </button>
        ))}
        <button type="button" className="key boxed" data-testid="camera-close" onClick={close}>
          camera off
        </button>
      </div>
    </div>
  )
}
