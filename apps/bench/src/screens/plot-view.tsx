import { Box, Text } from 'ink'
import { layerColour } from '../look.ts'
import type { Run } from '../plot/braille-canvas.ts'

/** A plot as terminal text: one line per row. */
export function PlotView({ lines }: { lines: readonly Run[][] }) {
  return (
    <Box flexDirection="column">
      {lines.map((runs, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the rows of a plot have no other name
        <Text key={row} wrap="truncate">
          {runs.map((run, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: nor have the runs of a row
            <Text key={i} color={run.layer && layerColour[run.layer]} bold={run.layer === 'outside'}>
              {run.text}
            </Text>
          ))}
        </Text>
      ))}
    </Box>
  )
}
