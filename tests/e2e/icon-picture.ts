/** The desktop's icon, drawn from the mark in the page's corner: as large as the systems ask for, with nothing around it. */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { openBrowser } from '../bench-tools/real-browser'
import { root } from '../bench-tools/running-app'

/** macOS asks for 1024 pixels, Windows for 256, Linux for 512 (electron-builder's documentation, from memory). */
export const iconSize = 1024

export const markAsIcon = async (): Promise<Buffer> => {
  const browser = await openBrowser({ width: iconSize, height: iconSize })
  try {
    const mark = readFileSync(join(root, 'src-renderer/mark.svg')).toString('base64')
    const page = await browser.page('about:blank')
    const image = `<img width="${iconSize}" height="${iconSize}" style="display:block" src="data:image/svg+xml;base64,${mark}">`
    await page.setContent(`<body style="margin:0">${image}`)
    await page.waitForFunction(() => document.images[0]?.complete === true && document.images[0].naturalWidth > 0)
    return await page.screenshot({ omitBackground: true })
  } finally {
    await browser.close()
  }
}

export const drawIcon = async (file: string): Promise<void> => { writeFileSync(file, await markAsIcon()) }
