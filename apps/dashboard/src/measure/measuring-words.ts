import { repeatsAtMost } from '@boardwright/core'
import { type Measuring, nextSetting } from './measuring-state.ts'

/** What is going on, as it is shown and spoken: changes only when something has changed, not with every step of a bar. */
export function measuringWords(state: Measuring): string {
  const setting = nextSetting(state)
  const repeat = state.progress?.repeat ?? 0
  switch (state.doing) {
    case 'opening':
      return 'Opening the sound interface.'
    case 'playing':
      return repeat === 0
        ? `Playing the sweep at ${setting}.`
        : `A block was lost: playing the sweep again (${repeat} of ${repeatsAtMost}).`
    case 'checking':
      return 'Checking the recording.'
    case 'sending':
      return 'The recordings are being judged.'
    case 'judged':
      return ''
    case 'waiting':
      if (state.stopped) return 'Stopped. What was recorded before is kept.'
      if (state.refused) return `The recording at ${setting} proves nothing.`
      if (setting === undefined) return 'All settings are recorded.'
      return state.takes.length === 0 ? '' : `Recorded. Now turn the knobs to ${setting}.`
  }
}
