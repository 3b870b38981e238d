import { type ReactNode, useEffect, useRef } from 'react'

let firstPage = true

/** The heading of a page. After a change of page the focus goes to it, as a fresh page would; `title` is for the tab. */
export function PageTitle({ title, children }: { title: string; children: ReactNode }) {
  const heading = useRef<HTMLHeadingElement>(null)
  useEffect(() => {
    document.title = `${title}: Boardwright`
  }, [title])
  useEffect(() => {
    if (!firstPage) heading.current?.focus({ preventScroll: true })
    if (!firstPage) window.scrollTo({ top: 0, behavior: 'instant' })
    firstPage = false
  }, [])
  return (
    <h1 ref={heading} tabIndex={-1}>
      {children}
    </h1>
  )
}
