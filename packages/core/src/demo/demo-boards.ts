import type { Fault } from '../circuit/fault.ts'

// The boards of the demo workshop: invented, like the maker Fernhollow Audio and its preamp Plover.

/** What is wrong with the demo's boards, by serial number: one took a capacitor out of the wrong bag. */
const faults: Readonly<Record<string, readonly Fault[]>> = {
  'PLV-0005': [{ kind: 'value', designator: 'C7', value: '3.3 nF' }],
}

/** The faults of a demo board; none for any other serial number. */
export const demoFaultsOf = (serial: string): readonly Fault[] => faults[serial] ?? []

/**
 * What is loose about a demo board until it is pressed down: the battery clip of the one after the first to test, so that the
 * contact check has something to find.
 */
export const demoLooseContactOf = (serial: string): readonly Fault[] =>
  serial === 'PLV-0009' ? [{ kind: 'pin-open', node: 'battery' }] : []

/** Seed of the demo's simulated rig: the same boards on every machine. */
export const demoSeed = 2026

/** A visit of a demo board to the rig. */
export interface DemoVisit {
  serial: string
  /** Days before the demo is made. */
  daysAgo: number
  /** True when the computer's output was muted, so that the recording proves nothing. */
  muted?: boolean
  /** First of a session: the rig is checked with the reference board before it. */
  first?: boolean
}

export const demoVisits: readonly DemoVisit[] = [
  { serial: 'PLV-0001', daysAgo: 9.2, first: true },
  { serial: 'PLV-0002', daysAgo: 9.1 },
  { serial: 'PLV-0003', daysAgo: 7.2, muted: true, first: true },
  { serial: 'PLV-0003', daysAgo: 7.1 },
  { serial: 'PLV-0004', daysAgo: 7 },
  { serial: 'PLV-0005', daysAgo: 3.2, first: true },
  { serial: 'PLV-0006', daysAgo: 3.1 },
  { serial: 'PLV-0007', daysAgo: 2, first: true },
]

/** Builds of the demo: two whose boards are done, and one in work. The serial numbers of the last begin a new roll of labels. */
export const demoBuilds = {
  first: { units: 4, note: 'first batch', daysAgo: 9.9 },
  second: { units: 4, note: 'spring orders', daysAgo: 3.9 },
  inWork: { units: 2, note: 'for the shelf', daysAgo: 0.6, firstNumber: 21, steps: 14 },
} as const

/** The unit that waits to be tested. */
export const demoSerialToTest = 'PLV-0008'
