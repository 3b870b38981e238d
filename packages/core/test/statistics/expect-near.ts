import { expect } from 'vitest'

/** Fails unless the value is within a relative tolerance (and an absolute one, for values near zero). */
export function expectNear(actual: number, wanted: number, relative: number, absolute = 0, about = ''): void {
  const limit = relative * Math.abs(wanted) + absolute
  expect(Math.abs(actual - wanted), `${about} wanted ${wanted}, got ${actual}`).toBeLessThanOrEqual(limit)
}
