/** Where the window stood when it was closed: kept in the data folder, and taken up again only where a display still shows it. */
import { readFileSync, renameSync, writeFileSync } from 'node:fs'
import type { Rectangle } from 'electron'
import { z } from 'zod'

const whole = z.number().int().min(-100_000).max(100_000)
const windowPlace = z.strictObject({
  x: whole, y: whole, width: whole.min(1), height: whole.min(1), maximized: z.boolean(), fullScreen: z.boolean(),
})
export type WindowPlace = z.infer<typeof windowPlace>

/** What a new window gets: without x and y it stands in the middle of the main display. */
export type Placing = { x?: number; y?: number; width: number; height: number; maximized: boolean; fullScreen: boolean }

export const smallest = { width: 640, height: 480 }
const usual = { width: 1280, height: 832 }
/** So much of its top edge must be on a display that a hand can take hold of it. */
const gripWidth = 120
const gripHeight = 40

const overlap = (from: number, length: number, otherFrom: number, otherLength: number): number =>
  Math.min(from + length, otherFrom + otherLength) - Math.max(from, otherFrom)

const within = (length: number, least: number, most: number): number => Math.max(Math.min(least, most), Math.min(length, most))

const sizeOn = (area: Rectangle, { width, height }: { width: number; height: number }): { width: number; height: number } =>
  ({ width: within(width, smallest.width, area.width), height: within(height, smallest.height, area.height) })

const canBeHeld = (at: { x: number; y: number }, width: number, area: Rectangle): boolean =>
  overlap(at.x, width, area.x, area.width) >= gripWidth && overlap(at.y, gripHeight, area.y, area.height) >= gripHeight

/** @param displays the work areas of the displays there are now, the main one first, in device-independent pixels. */
export const placeWindow = (kept: WindowPlace | null, displays: readonly Rectangle[]): Placing => {
  const { maximized, fullScreen } = kept ?? { maximized: false, fullScreen: false }
  if (kept !== null) {
    const { x, y } = kept
    const area = displays.find((each) => canBeHeld(kept, sizeOn(each, kept).width, each))
    if (area !== undefined) return { x, y, ...sizeOn(area, kept), maximized, fullScreen }
  }
  const { width, height } = kept ?? usual
  const [main] = displays
  return { ...(main === undefined ? { width, height } : sizeOn(main, { width, height })), maximized, fullScreen }
}

/** Null where there is none, or where it makes no sense: then the window opens as the first time. */
export const readWindowPlace = (file: string): WindowPlace | null => {
  try {
    return windowPlace.parse(JSON.parse(readFileSync(file, 'utf8')))
  } catch {
    return null // the usual place is no loss
  }
}

/** @throws Error when the data folder cannot be written. */
export const writeWindowPlace = (file: string, place: WindowPlace): void => {
  writeFileSync(`${file}.part`, `${JSON.stringify(place)}\n`)
  renameSync(`${file}.part`, file)
}
