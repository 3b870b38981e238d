import { Box, Text } from 'ink'
import type { Bench } from '../bench.ts'
import type { RigWorkPhase } from '../hooks/use-rig-work.ts'
import { ProgressLines } from './progress-line.tsx'
import { QuestionView } from './question-view.tsx'

/** A board on the rig: what it is, a bar for each setting, and what the rig waits for. */
export function RigWorkView(props: {
  bench: Bench
  title: string
  phase: Extract<RigWorkPhase<unknown>, { kind: 'running' }>
  columns: number
}) {
  const { bench, title, phase, columns } = props
  const current = phase.settings.find((one) => one.state === 'running')
  const label = bench.product.settings.find((one) => one.name === current?.setting)?.label
  return (
    <Box flexDirection="column">
      <Text wrap="truncate">
        <Text bold inverse>{` ${title} `}</Text>
        <Text>{label ? `  set: ${label}` : ''}</Text>
      </Text>
      <ProgressLines settings={phase.settings} columns={columns} />
      {phase.question && <QuestionView question={phase.question} product={bench.product} columns={columns} />}
    </Box>
  )
}
