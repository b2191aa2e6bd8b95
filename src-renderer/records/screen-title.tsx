/** The title of a screen that took the place of another: the focus goes to it, so that it is read out and the keys start there. */
import { useEffect, useRef, type JSX, type ReactNode } from 'react'

export const ScreenTitle = ({ children }: { children: ReactNode }): JSX.Element => {
  const title = useRef<HTMLHeadingElement>(null)
  useEffect(() => title.current?.focus(), [])
  return (
    <h1 ref={title} tabIndex={-1} className="screen-title">
      {children}
    </h1>
  )
}
