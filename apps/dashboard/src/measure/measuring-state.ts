import type { AddedTestRun } from '@boardwright/core/contract'
import type { TakeProgress } from './take/record-take.ts'
import type { Take } from './take/take.ts'

/** One board on the desk: what was recorded so far, and what is going on. */
export interface Measuring {
  doing: 'waiting' | 'opening' | 'playing' | 'checking' | 'sending' | 'judged'
  /** Settings of the test plan, in their order. */
  settings: readonly string[]
  /** Recordings that count, in the order of the settings. */
  takes: readonly Take[]
  /** The last recording, when the checks refuse it; the maker says what becomes of it. */
  refused: Take | null
  progress: TakeProgress | null
  /** What went wrong last; what was recorded before stays. */
  problem: unknown
  stopped: boolean
  result: AddedTestRun | null
}

export type MeasuringEvent =
  | { type: 'begin' }
  | { type: 'progress'; progress: TakeProgress }
  | { type: 'recorded'; take: Take }
  | { type: 'keep' }
  | { type: 'stopped' }
  | { type: 'failed'; problem: unknown }
  | { type: 'send' }
  | { type: 'judged'; result: AddedTestRun }
  | { type: 'again' }

export const nothingMeasured = (settings: readonly string[]): Measuring => ({
  doing: 'waiting',
  settings,
  takes: [],
  refused: null,
  progress: null,
  problem: undefined,
  stopped: false,
  result: null,
})

/** The setting that is recorded next; undefined when there is one recording for each. */
export const nextSetting = ({ settings, takes }: Measuring): string | undefined => settings[takes.length]

/** True while sound is played or may begin any moment. */
export const isSounding = ({ doing }: Measuring): boolean => doing === 'opening' || doing === 'playing'

/** True when recordings would be lost with the page. */
export const hasUnsent = ({ takes, refused, result }: Measuring): boolean =>
  result === null && (takes.length > 0 || refused !== null)

/** What becomes of a board by what happens. Nothing that was recorded is dropped but by `again`. */
export function measuring(state: Measuring, event: MeasuringEvent): Measuring {
  const rest = { ...state, progress: null, problem: undefined, stopped: false }
  switch (event.type) {
    case 'begin':
      return { ...rest, doing: 'opening' }
    case 'progress':
      return { ...state, doing: event.progress.doing, progress: event.progress }
    case 'recorded':
      return event.take.check.usable
        ? { ...rest, doing: 'waiting', takes: [...state.takes, event.take], refused: null }
        : { ...rest, doing: 'waiting', refused: event.take }
    case 'keep':
      return state.refused ? { ...rest, takes: [...state.takes, state.refused], refused: null } : state
    case 'stopped':
      return { ...rest, doing: 'waiting', stopped: true }
    case 'failed':
      return { ...rest, doing: 'waiting', problem: event.problem }
    case 'send':
      return { ...rest, doing: 'sending' }
    case 'judged':
      return { ...rest, doing: 'judged', result: event.result }
    case 'again':
      return nothingMeasured(state.settings)
  }
}
