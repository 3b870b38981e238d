import type { RigSettings } from '@boardwright/core'
import type { Bench } from '../../bench.ts'
import type { BenchKey } from '../../hooks/use-bench-keys.ts'
import type { RigGuide } from '../../hooks/use-rig-guide.ts'
import type { GuideStepId } from '../../session/setup/guide-step.ts'

/** What each step of the set-up guide gets. */
export interface GuideStepProps {
  step: GuideStepId
  bench: Bench
  guide: RigGuide
  /** The settings in force; undefined before the first step is done. */
  settings: RigSettings | undefined
  columns: number
  /**
   * Where the step says what a key does. The screen has the one listener and hands keys on: a listener of its own would hear
   * nothing until some time after the step was drawn.
   */
  keys: { current: (key: BenchKey) => void }
}
