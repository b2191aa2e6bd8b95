/** How loud the tones are: four steps into one chain that presses peaks down, so that the loudest is louder and still does not clip. */
import type { Loudness } from '../../src-core/settings/bench-settings'

/** Gain before the compressor, whose own make-up gain brings the usual step back to about the tone as written (peak 0.5). */
export const gains: Record<Loudness, number> = { soft: 0.28, usual: 0.48, loud: 0.85, loudest: 7 }

/** Nothing leaves the chain above this. */
export const ceiling = 0.95
const curvePoints = 2049

/** Straight for quiet tones, bending towards the ceiling for loud ones: what overshoots the compressor is rounded, not cut. */
export const ceilingCurve = (): Float32Array<ArrayBuffer> => Float32Array.from({ length: curvePoints }, (_, index) => {
  const x = (2 * index) / (curvePoints - 1) - 1
  return ceiling * Math.tanh(1.6 * x) / Math.tanh(1.6)
})

/** @returns where a tone goes in; it leaves at the context's destination. */
export const loudnessChain = (context: BaseAudioContext, loudness: Loudness): AudioNode => {
  const gain = context.createGain()
  gain.gain.value = gains[loudness]
  const compressor = context.createDynamicsCompressor()
  compressor.threshold.value = -6
  compressor.knee.value = 6
  compressor.ratio.value = 12
  compressor.attack.value = 0.002
  compressor.release.value = 0.06
  const shaper = context.createWaveShaper()
  shaper.curve = ceilingCurve()
  gain.connect(compressor).connect(shaper).connect(context.destination)
  return gain
}
