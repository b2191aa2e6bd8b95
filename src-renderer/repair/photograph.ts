/** Makes a photograph small enough to be kept: at most 1600 pixels a side, JPEG, as fine as there is room for. */
import { mostPhotographText } from '../../src-core/repair/commands'

const longestSide = 1600
const tries = [{ side: longestSide, quality: 0.8 }, { side: 1280, quality: 0.7 }, { side: 1024, quality: 0.6 }, { side: 720, quality: 0.5 }]

const base64Of = (canvas: HTMLCanvasElement, quality: number): string => canvas.toDataURL('image/jpeg', quality).split(',')[1] ?? ''

/** @throws Error in plain words when the file is no picture. */
export const shrunkPhotograph = async (file: Blob): Promise<string> => {
  const picture = await createImageBitmap(file).catch(() => { throw new Error('That file is no picture that can be shown: choose a JPEG or a PNG.') })
  const canvas = document.createElement('canvas')
  const context = canvas.getContext('2d')
  for (const { side, quality } of tries) {
    const scale = Math.min(1, side / Math.max(picture.width, picture.height))
    canvas.width = Math.max(1, Math.round(picture.width * scale))
    canvas.height = Math.max(1, Math.round(picture.height * scale))
    context?.drawImage(picture, 0, 0, canvas.width, canvas.height)
    const text = base64Of(canvas, quality)
    if (text.length <= mostPhotographText) return text
  }
  throw new Error('That picture could not be made small enough. Choose another.')
}
