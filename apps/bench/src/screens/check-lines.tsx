import { type Evidence, formatCurrent, formatVoltage, type NextCheck } from '@boardwright/core'
import { Box, Text } from 'ink'
import { colour } from '../look.ts'
import { outcomeWords } from '../text/suspect-words.ts'
import { wrapWords } from '../text/wrap-words.ts'

/** What was told so far, in a line. */
function evidenceWords(evidence: Evidence): string {
  const { supplyCurrentA, nodeVoltagesV, sweeps, soundParts, faultyParts } = evidence
  return [
    ...(supplyCurrentA === null ? [] : [`supply ${formatCurrent(supplyCurrentA)}`]),
    ...Object.entries(nodeVoltagesV).map(([node, volts]) => `${node} ${formatVoltage(volts)}`),
    ...sweeps.map(
      ({ node, measurement }) => `sweep at ${measurement.setting}${node === null ? '' : `, probe ${node}`}`,
    ),
    ...soundParts.map((part) => `${part} sound`),
    ...faultyParts.map((part) => `${part} wrong`),
  ].join(', ')
}

/** The best next check and what it would show. */
export function CheckLines({
  checks,
  evidence,
  columns,
  rows,
}: {
  checks: readonly NextCheck[]
  evidence: Evidence
  columns: number
  rows: number
}) {
  const told = evidenceWords(evidence)
  const [best] = checks
  const lines = best
    ? wrapWords(`${best.words}. ${outcomeWords(best)}.`, columns - 15)
    : ['no further check would tell more: rework the suspect and test again.']
  return (
    <Box height={rows} overflow="hidden" flexDirection="column">
      <Box flexShrink={0}>
        <Box width={13} flexShrink={0}>
          <Text bold> Next check:</Text>
        </Box>
        <Text>{lines.join('\n')}</Text>
      </Box>
      {told !== '' && (
        <Text color={colour.quiet} wrap="truncate">
          {` Told so far: ${told}`}
        </Text>
      )}
    </Box>
  )
}
