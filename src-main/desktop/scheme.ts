/** The desktop's own scheme: page and pictures from the same assets, with the same policy and headers as in the browser host. */
import type { CustomScheme } from 'electron'
import { answerHeaders, headersOf, ownAsset, type Assets } from '../service/assets'

export const scheme = 'probewright'
const origin = `${scheme}://app`
export const pageAddress = `${origin}/`

/** A standard, secure scheme has an origin: 'self' of the policy means it, and a wake lock may be asked for. */
export const ownScheme: CustomScheme = { scheme, privileges: { standard: true, secure: true, supportFetchAPI: true } }

/** Whether an address is of this app: the page itself or anything beside it. */
export const isOwn = (address: string): boolean => address === origin || address.startsWith(pageAddress)

const refuse = (status: number, words: string): Response =>
  new Response(`${words}\n`, { status, headers: { ...answerHeaders, 'Content-Type': 'text/plain; charset=utf-8' } })

/** Answers from maps made at the start: no path reaches the disk, and a malformed % is merely not found. */
export const answerFrom = (assets: Assets) => ({ method, url }: Pick<Request, 'method' | 'url'>): Response => {
  if (method !== 'GET' && method !== 'HEAD') return refuse(405, 'Only GET is answered here.')
  const path = isOwn(url) ? `/${url.slice(pageAddress.length).split(/[?#]/, 1)[0] ?? ''}` : null
  const found = path === null ? null : assets.page(path) ?? ownAsset(assets, method, path)
  if (found === null) return refuse(404, 'There is nothing here.')
  return new Response(method === 'HEAD' ? null : new Uint8Array(found.bytes), { status: 200, headers: headersOf(found) })
}
