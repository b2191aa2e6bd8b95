/** The icon that ships is the mark as it is now. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { chromiumIsHere, openBrowser } from '../bench-tools/real-browser'
import { root } from '../bench-tools/running-app'
import { iconSize, markAsIcon } from './icon-picture'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('the desktop’s icon', () => {
  it('shows what the mark shows, on a ground one can see through at the corners', async () => {
    const [shipped, drawn] = [readFileSync(join(root, 'src-main/desktop/icon.png')), await markAsIcon()]
    const browser = await openBrowser()
    later(() => browser.close())
    const page = await browser.page('about:blank')
    const seen = await page.evaluate(async ([one, other]) => {
      const read = async (base64: string) => {
        const image = new Image()
        image.src = `data:image/png;base64,${base64}`
        await image.decode()
        const canvas = new OffscreenCanvas(image.width, image.height)
        const context = canvas.getContext('2d')
        if (context === null) throw new Error('no canvas here')
        context.drawImage(image, 0, 0)
        return context.getImageData(0, 0, image.width, image.height)
      }
      const [a, b] = [await read(one), await read(other)]
      const apart = a.data.reduce((sum, value, index) => sum + Math.abs(value - (b.data[index] ?? 0)), 0) / a.data.length
      const middle = (a.height / 2 * a.width + Math.round(a.width * 9 / 32)) * 4
      return { size: [a.width, a.height], apart, corner: a.data[3], body: a.data[middle + 3] }
    }, [shipped.toString('base64'), drawn.toString('base64')] as const)
    expect(seen.size).toEqual([iconSize, iconSize])
    expect(seen.apart).toBeLessThan(0.5)
    expect([seen.corner, seen.body]).toEqual([0, 255])
  })
})
