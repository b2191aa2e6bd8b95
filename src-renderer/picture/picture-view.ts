/** Which part of a board picture to show: all of it, or closer in on where the tips go when the picture is large. Pixels. */

export type Size = { width: number; height: number }
export type Spot = { x: number; y: number }
/** `scale` is panel pixels per picture unit; the picture's corner lies at (left, top) in the panel. */
export type PictureView = { scale: number; left: number; top: number; zoomed: boolean }

/** Room left around the placement, so that marks and their words fit. */
const margin = 130
/** Closer than this many times the whole picture, the tips' surroundings can no longer be recognised. */
const closest = 3.5
/** A picture that fits with at least this scale is read as it is; moving it about would only unsettle. */
const largeBelow = 0.6

const along = (picture: number, panel: number, middle: number): number =>
  picture <= panel ? (panel - picture) / 2 : Math.min(0, Math.max(panel - picture, panel / 2 - middle))

export const pictureView = (picture: Size, panel: Size, spots: Spot[]): PictureView => {
  const whole = Math.min(panel.width / picture.width, panel.height / picture.height)
  const xs = spots.map((spot) => spot.x)
  const ys = spots.map((spot) => spot.y)
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]
  const near = spots.length === 0 || whole >= largeBelow ? whole : Math.min(
    (panel.width - 2 * margin) / Math.max(1, right - left),
    (panel.height - 2 * margin) / Math.max(1, bottom - top))
  const scale = Math.max(whole, Math.min(near, 1, whole * closest))
  const middle = spots.length === 0 ? { x: picture.width / 2, y: picture.height / 2 } : { x: (left + right) / 2, y: (top + bottom) / 2 }
  return {
    scale,
    left: along(picture.width * scale, panel.width, middle.x * scale),
    top: along(picture.height * scale, panel.height, middle.y * scale),
    zoomed: scale > whole * 1.15,
  }
}

/** The part of the picture that is seen, in its own units. */
export const shownPart = (picture: Size, panel: Size, { scale, left, top }: PictureView): Spot & Size => {
  const [x, y] = [Math.max(0, -left / scale), Math.max(0, -top / scale)]
  return { x, y, width: Math.min(picture.width, (panel.width - left) / scale) - x, height: Math.min(picture.height, (panel.height - top) / scale) - y }
}

export const inPanel = (view: PictureView, spot: Spot): Spot => ({ x: view.left + spot.x * view.scale, y: view.top + spot.y * view.scale })
