/** Bytes for the screen: the built page, and pictures by their SHA-256. Held in maps; no request path touches the disk. */
import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { extname, join, relative, sep } from 'node:path'
import { createDownloads, type Download } from './downloads'

export type Asset = { type: string; bytes: Buffer }
export type Assets = {
  page: (path: string) => Asset | null
  picture: (path: string) => Asset | null
  /** A picture of an old run; served as long as the app runs. */
  keepServing: (picture: Picture) => void
  /** The pictures of a library just read. Those of the library before it are still served, to a screen that still shows one; older ones go. */
  replacePictures: (pictures: readonly Picture[]) => void
  /** An exported file, to be fetched once under the path that is returned; null where there is no room for it. */
  offer: (file: Download) => string | null
  /** Hands an offered file out and forgets it. */
  download: (path: string) => Download | null
}
/** A picture under the path the screen asks for, which names its content. */
export type Picture = Asset & { path: string }

/** The one policy of both hosts. */
export const contentSecurityPolicy = [
  "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self'", "font-src 'self'", "connect-src 'self'",
  "base-uri 'none'", "form-action 'none'", "frame-ancestors 'none'",
].join('; ')

/** What goes with every answer of both hosts. */
export const answerHeaders = {
  'Content-Security-Policy': contentSecurityPolicy,
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cache-Control': 'no-store',
}

/** The headers of what is served; an export is saved under its name, which is plain ASCII. */
export const headersOf = (asset: Asset | Download): Record<string, string> => ({
  ...answerHeaders, 'Content-Type': asset.type, 'Content-Length': String(asset.bytes.length),
  ...('name' in asset ? { 'Content-Disposition': `attachment; filename="${asset.name}"` } : {}),
})

const types: Record<string, string> = {
  '.html': 'text/html; charset=utf-8', '.js': 'text/javascript; charset=utf-8', '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml', '.png': 'image/png', '.jpg': 'image/jpeg', '.jpeg': 'image/jpeg',
  '.woff2': 'font/woff2', '.ttf': 'font/ttf', '.ico': 'image/x-icon', '.json': 'application/json',
}

const typeOf = (file: string): string => types[extname(file).toLowerCase()] ?? 'application/octet-stream'

const filesBelow = (folder: string): string[] =>
  readdirSync(folder, { withFileTypes: true, recursive: true }).filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name))

export const pictureOf = (file: string, bytes: Buffer): Picture =>
  ({ path: `/pictures/${createHash('sha256').update(bytes).digest('hex')}${extname(file).toLowerCase()}`, type: typeOf(file), bytes })

/** What only the app's own page may have: pictures and exports. An export is handed out once: asking for its head must not use it up. */
export const ownAsset = (assets: Assets, method: 'GET' | 'HEAD', path: string): Asset | Download | null =>
  assets.picture(path) ?? (method === 'GET' ? assets.download(path) : null)

/** @param pageFolder the built renderer. */
export const openAssets = (pageFolder: string): Assets => {
  const pages = new Map<string, Asset>()
  for (const file of filesBelow(pageFolder)) {
    pages.set(`/${relative(pageFolder, file).split(sep).join('/')}`, { type: typeOf(file), bytes: readFileSync(file) })
  }
  const index = pages.get('/index.html')
  if (index !== undefined) pages.set('/', index)
  let pictures = new Map<string, Asset>()
  let before = new Map<string, Asset>()
  const kept = new Map<string, Asset>()
  const downloads = createDownloads()
  return {
    offer: downloads.offer,
    download: downloads.take,
    page: (path) => pages.get(path) ?? null,
    picture: (path) => pictures.get(path) ?? before.get(path) ?? kept.get(path) ?? null,
    keepServing: ({ path, type, bytes }) => { kept.set(path, { type, bytes }) },
    replacePictures: (next) => {
      before = pictures
      pictures = new Map(next.map(({ path, type, bytes }) => [path, { type, bytes }]))
    },
  }
}
