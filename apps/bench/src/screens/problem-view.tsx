import { Box, Text } from 'ink'
import type { SessionProblem } from '../session/problem-of.ts'

/** Something that could not be finished: what is wrong, and what to do. */
export function ProblemView({ title, problem }: { title: string; problem: SessionProblem }) {
  return (
    <Box flexDirection="column" padding={1}>
      <Text bold inverse>{` ${title} `}</Text>
      <Box marginTop={1} flexDirection="column">
        <Text bold>{problem.message}</Text>
        <Text>{problem.remedy}</Text>
      </Box>
    </Box>
  )
}
