/** This start's token: taken from the address once, kept for reloads, and never left in the address bar. */

const key = 'probewright-token'

type Page = Pick<Window, 'location' | 'history' | 'sessionStorage'>

/** The token, or '' where the page was opened without one. */
export const takeToken = ({ location, history, sessionStorage }: Page): string => {
  const given = location.hash.slice(1)
  if (given !== '') {
    sessionStorage.setItem(key, given)
    history.replaceState(null, '', location.pathname + location.search)
  }
  return sessionStorage.getItem(key) ?? ''
}

/** The address of a picture or a file that the service hands out, with the token it asks for. */
export const assetUrl = (path: string, token: string = sessionStorage.getItem(key) ?? ''): string =>
  token === '' ? path : `${path}${path.includes('?') ? '&' : '?'}token=${encodeURIComponent(token)}`
