import { BoardwrightError } from '../model/error.ts'
import { type Breakpoint, type Product, ToleranceBand } from '../model/product.ts'

/** A breakpoint that a maker gives; without a setting it counts for every one of the test plan. */
export type HandBreakpoint = Breakpoint & { setting?: string }

/**
 * Bands with the breakpoints that a maker gives. A setting that gets none keeps the band it has.
 * Errors: bad-argument, setting-unknown.
 */
export function bandByHand(product: Product, points: readonly HandBreakpoint[]): ToleranceBand[] {
  const { bands, settings } = product.testPlan
  for (const { setting } of points)
    if (setting !== undefined && !product.settings.some(({ name }) => name === setting))
      throw new BoardwrightError('setting-unknown', `${product.name} has no setting "${setting}".`)
  const named = new Set(points.flatMap(({ setting }) => setting ?? []))
  const whole = points.some(({ setting }) => setting === undefined)
  const known = bands.map(({ setting }) => setting)
  const touched = [...new Set([...known, ...settings, ...named])].filter(
    (setting) => named.has(setting) || (whole && settings.includes(setting)),
  )
  const made = touched.map((setting) => bandOf(product, setting, points))
  return [...bands.filter(({ setting }) => !touched.includes(setting)), ...made].sort(
    (a, b) => place(known, a.setting) - place(known, b.setting),
  )
}

/** Bands keep the order they have; new ones come after. */
const place = (known: readonly string[], setting: string): number =>
  known.includes(setting) ? known.indexOf(setting) : known.length

function bandOf({ testPlan }: Product, setting: string, points: readonly HandBreakpoint[]): ToleranceBand {
  // What is said of one setting goes before what is said of all.
  const own = points.filter((point) => point.setting === setting)
  const breakpoints = (own.length > 0 ? own : points.filter((point) => point.setting === undefined))
    .map(({ frequencyHz, upperDb, lowerDb }) => ({ frequencyHz, upperDb, lowerDb }))
    .sort((a, b) => a.frequencyHz - b.frequencyHz)
  const before = testPlan.bands.find((band) => band.setting === setting)
  const parsed = ToleranceBand.safeParse({ setting, compare: before?.compare, breakpoints })
  if (parsed.success) return parsed.data
  const [{ path, message }] = parsed.error.issues
  throw new BoardwrightError('bad-argument', `The band at "${setting}" is not right at ${path.join('.')}: ${message}.`)
}
