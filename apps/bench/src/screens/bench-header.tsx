import { Box, Text } from 'ink'
import { colour } from '../look.ts'

export interface BenchHeaderProps {
  title: string
  /** Which product at which revision, and the reference in force. */
  subject: string
  station: string
  rigLabel: string
  simulated: boolean
}

/** Two lines on top of every screen. A simulated rig can not be overlooked: nobody may take its verdicts for real. */
export function BenchHeader({ title, subject, station, rigLabel, simulated }: BenchHeaderProps) {
  return (
    <Box flexDirection="column">
      <Box justifyContent="space-between">
        <Text wrap="truncate">
          <Text bold>{` ${title}`}</Text>
          <Text>{`  ${subject}`}</Text>
        </Text>
        <Text color={colour.quiet} wrap="truncate">{`${station} `}</Text>
      </Box>
      {simulated ? (
        <Text wrap="truncate">
          <Text bold inverse>
            {' ░░ SIMULATED RIG ░░ '}
          </Text>
          <Text>{` ${rigLabel}`}</Text>
        </Text>
      ) : (
        <Text wrap="truncate">{` Rig: ${rigLabel}`}</Text>
      )}
    </Box>
  )
}
