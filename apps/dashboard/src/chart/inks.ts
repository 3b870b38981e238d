import type { Ink } from './chart-data.ts'

/** The colour of an ink or of the paper in the theme that is on now, for drawing on a canvas. */
export const inkColour = (ink: Ink | 'paper' | 'rule' | 'rule-strong'): string =>
  getComputedStyle(document.documentElement).getPropertyValue(`--${ink}`).trim()

export const chartFont = (sizePx: number, { bold = false }: { bold?: boolean } = {}): string =>
  `${bold ? '700 ' : ''}${sizePx}px ${getComputedStyle(document.body).fontFamily}`

const themeQuery = '(prefers-color-scheme: dark)'

/** Calls `redraw` whenever the theme changes; gives the way to stop that. */
export function onThemeChange(redraw: () => void): () => void {
  const theme = window.matchMedia(themeQuery)
  theme.addEventListener('change', redraw)
  return () => theme.removeEventListener('change', redraw)
}
