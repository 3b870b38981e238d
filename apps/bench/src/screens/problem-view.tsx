import { Box, Text } from 'ink'
import type { SessionProblem } from '../hooks/use-test-session.ts'

/** A run that could not be finished: what is wrong, and what to do. */
export function ProblemView({ serial, problem }: { serial: string; problem: SessionProblem }) {
  return (
    <Box flexDirection="column" padding={1}>
      <Text bold inverse>{` ${serial}: no verdict `}</Text>
      <Box marginTop={1} flexDirection="column">
        <Text bold>{problem.message}</Text>
        <Text>{problem.remedy}</Text>
      </Box>
    </Box>
  )
}
