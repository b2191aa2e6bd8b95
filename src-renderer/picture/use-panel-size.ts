/** The size of an element in pixels, kept up to date. */
import { useLayoutEffect, useState, type RefObject } from 'react'
import type { Size } from './picture-view'

/** Null until the element has been laid out. */
export const usePanelSize = (panel: RefObject<HTMLElement | null>): Size | null => {
  const [size, setSize] = useState<Size | null>(null)
  useLayoutEffect(() => {
    const element = panel.current
    if (element === null) return
    const observer = new ResizeObserver(() => setSize({ width: element.clientWidth, height: element.clientHeight }))
    observer.observe(element)
    return () => observer.disconnect()
  }, [panel])
  return size
}
