import { Box } from 'ink'
import { useState } from 'react'
import type { Bench } from '../bench.ts'
import { type BenchKey, useBenchKeys } from '../hooks/use-bench-keys.ts'
import { type GaugeScreenState, useGaugeStudy } from '../hooks/use-gauge-study.ts'
import { useLetterKeys } from '../hooks/use-letter-keys.ts'
import { answerWithKey } from '../hooks/use-rig-work.ts'
import { Footer } from './footer.tsx'
import { GaugeChoiceView, GaugeProgressView, GaugeResultView } from './gauge-views.tsx'
import { ProblemView } from './problem-view.tsx'
import { RigWorkView } from './rig-work-view.tsx'

export interface GaugeScreenProps {
  bench: Bench
  version: number
  columns: number
  rows: number
  active: boolean
  onBack: () => void
  onHelp: () => void
  onQuit: () => void
}

type Shown = 'running' | 'problem' | 'progress' | 'choice' | 'result'

function shownNow({ working, progress, last, problem }: GaugeScreenState, choosing: boolean): Shown {
  if (working.phase.kind === 'running') return 'running'
  if (working.phase.kind === 'problem' || problem) return 'problem'
  if (progress) return 'progress'
  return last && !choosing ? 'result' : 'choice'
}

/** The gauge study: says which board to put in, measures it, and tells in words how well the rig repeats. */
export function GaugeScreen(props: GaugeScreenProps) {
  const { bench, version, columns, rows, active } = props
  const state = useGaugeStudy(bench, version)
  const { working, progress, last } = state
  const [choosing, setChoosing] = useState(false)
  const shown = shownNow(state, choosing)
  const onKey = (key: BenchKey) => {
    if (answerWithKey(working, key)) return
    if (key.name === 'escape' || key.name === 'tab') {
      if (shown === 'problem') working.reset()
      else if (shown === 'choice' && choosing) setChoosing(false)
      else props.onBack()
    } else if (shown === 'progress' || shown === 'problem') {
      if (key.name === 'enter' || key.name === 'space') progress ? state.measure() : working.reset()
    } else if (shown === 'choice') onChoiceKey(state, key)
  }
  const commands = {
    ...(shown === 'result' && { n: () => setChoosing(true) }),
    ...(shown === 'result' && !last?.isInForce && { a: state.accept }),
  }
  const { onQuit, onHelp } = props
  const letters = useLetterKeys({ untouched: () => shown !== 'running', onQuit, onHelp, commands, onKey })
  useBenchKeys(letters, { active })
  const step = progress?.next
  const { phase } = working
  const problem = state.problem ?? (phase.kind === 'problem' ? phase.problem : undefined)
  const title = step ? `${step.serial}  reading ${step.position} of ${progress.study.wanted}` : ''
  return (
    <Box flexDirection="column" height={rows}>
      <Box height={rows - 1} flexDirection="column" overflow="hidden">
        {phase.kind === 'running' && <RigWorkView bench={bench} title={title} phase={phase} columns={columns} />}
        {shown === 'problem' && problem && <ProblemView title="No reading" problem={problem} />}
        {shown === 'progress' && progress && <GaugeProgressView progress={progress} columns={columns} />}
        {shown === 'choice' && <GaugeChoiceView boards={state.boards} size={state.size} columns={columns} />}
        {shown === 'result' && last && <GaugeResultView {...last} columns={columns} rows={rows - 1} />}
      </Box>
      <Footer
        keys={footers({ shown, asked: phase.kind === 'running' && !!phase.question, isInForce: !!last?.isInForce })}
      />
    </Box>
  )
}

function onChoiceKey(state: GaugeScreenState, key: BenchKey): void {
  if (key.name === 'enter') state.begin()
  else if (key.name === 'left' || key.name === 'right') state.resize({ boards: key.name === 'right' ? 1 : -1 })
  else if (key.name === 'up' || key.name === 'down') state.resize({ setUps: key.name === 'up' ? 1 : -1 })
}

function footers({ shown, asked, isInForce }: { shown: Shown; asked: boolean; isInForce: boolean }) {
  const stop = [['Esc', 'stop: this reading is not stored']] as const
  const end = [
    ['Esc', 'back'],
    ['?', 'help'],
    ['q', 'quit'],
  ] as const
  switch (shown) {
    case 'running':
      return asked ? ([['Enter', 'go on'], ...stop] as const) : stop
    case 'problem':
      return [['Enter', 'try again'], ...end] as const
    case 'progress':
      return [['Enter', 'it is in: measure'], ...end] as const
    case 'choice':
      return [['Enter', 'begin'], ['← →', 'boards'], ['↑ ↓', 'set-ups'], ...end] as const
    case 'result':
      return [...(isInForce ? [] : [['a', 'take it over'] as const]), ['n', 'new study'] as const, ...end]
  }
}
