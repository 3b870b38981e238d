import { rigKindOf } from '@boardwright/core'
import type { RecordedRigCheck } from '@boardwright/core/workshop'
import { Box, Text } from 'ink'
import { useMemo } from 'react'
import type { Bench } from '../bench.ts'
import { type BenchKey, useBenchKeys } from '../hooks/use-bench-keys.ts'
import { useLetterKeys } from '../hooks/use-letter-keys.ts'
import { answerWithKey, useRigWork } from '../hooks/use-rig-work.ts'
import { runRigCheck } from '../session/run-rig-check.ts'
import { outcomeWords } from '../text/rig-check-words.ts'
import { wrapWords } from '../text/wrap-words.ts'
import { Footer } from './footer.tsx'
import { ProblemView } from './problem-view.tsx'
import { RigCheckView } from './rig-check-view.tsx'
import { RigWorkView } from './rig-work-view.tsx'

export interface RigCheckScreenProps {
  bench: Bench
  version: number
  columns: number
  rows: number
  active: boolean
  onGauge: () => void
  onBack: () => void
  onHelp: () => void
  onQuit: () => void
}

/** The rig check: one key measures the reference board; below, how the rig drifts and what must be tested again. */
export function RigCheckScreen(props: RigCheckScreenProps) {
  const { bench, version, columns, rows, active } = props
  const { workshop, rig, product } = bench
  const working = useRigWork<RecordedRigCheck>(bench)
  const { phase } = working
  // biome-ignore lint/correctness/useExhaustiveDependencies: version says that the workshop has changed
  const known = useMemo(() => {
    const which = { productId: product.id, rig: rigKindOf(rig.kind) }
    return {
      status: workshop.rigChecks.status(which),
      chart: workshop.rigChecks.chart(which),
      retest: workshop.rigChecks.retest(product.id),
    }
  }, [workshop, product, rig, version, phase.kind])
  const onShelf = known.retest.some(({ action }) => action === 'take-back')
  const onKey = (key: BenchKey) => {
    if (answerWithKey(working, key)) return
    if (key.name === 'enter' || key.name === 'space') working.start(runRigCheck)
    else if (key.name === 'escape' || key.name === 'tab') {
      if (phase.kind === 'problem') working.reset()
      else props.onBack()
    }
  }
  const commands = {
    g: props.onGauge,
    ...(onShelf && { t: () => void workshop.rigChecks.takeBack({ productId: product.id }) }),
  }
  const letters = useLetterKeys({
    untouched: () => phase.kind !== 'running',
    onQuit: props.onQuit,
    onHelp: props.onHelp,
    commands,
    onKey,
  })
  useBenchKeys(letters, { active })
  const outcome = phase.kind === 'done' ? outcomeLines(phase.result, columns - 2) : []
  return (
    <Box flexDirection="column" height={rows}>
      <Box height={rows - 1} flexDirection="column" overflow="hidden">
        {phase.kind === 'running' && <RigWorkView bench={bench} title="REFERENCE" phase={phase} columns={columns} />}
        {phase.kind === 'problem' && <ProblemView title="No rig check" problem={phase.problem} />}
        {outcome.length > 0 && <Text>{outcome.map((line) => ` ${line}`).join('\n')}</Text>}
        {(phase.kind === 'idle' || phase.kind === 'done') && (
          <RigCheckView {...known} columns={columns} rows={rows - 1 - outcome.length} />
        )}
      </Box>
      <Footer keys={footerOf(phase.kind, phase.kind === 'running' && phase.question !== undefined, onShelf)} />
    </Box>
  )
}

/** The sign and the first reason; what else is to be said of a drifted rig stands in the sentence below. */
const outcomeLines = ({ check }: RecordedRigCheck, columns: number): string[] =>
  wrapWords(`${outcomeWords[check.outcome]}  ${check.reasons[0]}`, columns)

function footerOf(phase: string, asked: boolean, onShelf: boolean): (readonly [string, string])[] {
  if (phase === 'running')
    return asked
      ? [
          ['Enter', 'go on'],
          ['Esc', 'stop: nothing is stored'],
        ]
      : [['Esc', 'stop: nothing is stored']]
  return [
    ['Enter', phase === 'problem' ? 'try again' : 'check the rig'],
    ...(onShelf ? ([['t', 'take back']] as const) : []),
    ['g', 'gauge'],
    ['Esc', 'back'],
    ['?', 'help'],
    ['q', 'quit'],
  ]
}
