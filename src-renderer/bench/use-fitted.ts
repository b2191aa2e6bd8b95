/** Sets the step tighter until all of it is in view: first what is measured side by side, then the small words smaller. Prompt, state, limits and reading keep their least sizes. */
import { useLayoutEffect, type RefObject } from 'react'

const tightest = 2
/** Lines kept for the state, so that a longer one moves nothing; where nothing else gives way, one. */
const stateLines = (tight: number): number => (tight < tightest ? 2.24 : 1.12)

const pixels = (words: string): number => Number.parseFloat(words) || 0

/** What the step takes, px, with the state at its lines. */
const heightOf = (panel: HTMLElement, grid: Element, tight: number): number => {
  const style = getComputedStyle(panel)
  const gap = pixels(getComputedStyle(grid).rowGap)
  return pixels(style.paddingTop) + pixels(style.paddingBottom) + 4 * gap + [...grid.children].reduce((sum, child) => {
    const { height } = child.getBoundingClientRect()
    return sum + (child.classList.contains('state') ? pixels(getComputedStyle(child).fontSize) * stateLines(tight) : height)
  }, 0)
}

const fit = (panel: HTMLElement): void => {
  const grid = panel.querySelector('.step-grid')
  if (grid === null) return
  for (let tight = 0; tight <= tightest; tight += 1) {
    panel.dataset.tight = String(tight)
    if (heightOf(panel, grid, tight) <= panel.clientHeight) return
  }
}

/** @param shown what the panel shows; another one is measured anew, and so is the same at another size. */
export const useFitted = (panel: RefObject<HTMLElement | null>, shown: unknown): void => {
  useLayoutEffect(() => {
    const element = panel.current
    if (element === null) return
    const observer = new ResizeObserver(() => { fit(element) })
    for (const one of [element, ...element.querySelectorAll('.asked-for, .reading, .scale')]) observer.observe(one)
    return () => observer.disconnect()
  }, [panel, shown])
}
