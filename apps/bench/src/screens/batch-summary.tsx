import { Box, Text } from 'ink'
import { verdictLook } from '../look.ts'
import { type BatchResult, resultLine, summaryLines } from '../text/batch-words.ts'

export interface BatchSummaryProps {
  results: readonly BatchResult[]
  columns: number
  rows: number
}

/** The end of a batch: counts, times, and every board; what was set aside comes first. */
export function BatchSummary({ results, rows }: BatchSummaryProps) {
  const head = summaryLines(results)
  const sorted = [
    ...results.filter((one) => one.verdict !== 'pass'),
    ...results.filter((one) => one.verdict === 'pass'),
  ]
  const room = Math.max(1, rows - head.length - 2)
  const shown = sorted.length > room ? sorted.slice(0, room - 1) : sorted
  return (
    <Box flexDirection="column" height={rows} overflow="hidden" paddingX={1}>
      {head.map((line) => (
        <Text key={line} bold wrap="truncate">
          {line}
        </Text>
      ))}
      <Text> </Text>
      {shown.map((one) => (
        <Text key={`${one.serial} ${one.boardS}`} color={verdictLook[one.verdict].colour} wrap="truncate">
          {resultLine(one)}
        </Text>
      ))}
      {sorted.length > shown.length && (
        <Text>{`… and ${sorted.length - shown.length} more, in the list of units.`}</Text>
      )}
    </Box>
  )
}
