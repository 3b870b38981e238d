import type { BoardLayout } from '@boardwright/core'
import { Box, Text } from 'ink'
import { useMemo } from 'react'
import { boardColour } from '../look.ts'
import { type BoardDrawing, type BoardRun, drawBoard } from '../plot/board-drawing.ts'

/** The board in characters, with the suspect lit: filled, its name inverse, arrow heads on the edge. */
export function BoardPanel(props: BoardDrawing & { board: BoardLayout }) {
  const { board, view, columns, rows, lit, also, nodes } = props
  const key = [lit, also, nodes].map((list) => list.join(' ')).join('/')
  // biome-ignore lint/correctness/useExhaustiveDependencies: key stands for the three lists
  const lines = useMemo(
    () => drawBoard({ board, view, columns, rows, lit, also, nodes }),
    [board, view, columns, rows, key],
  )
  return (
    <Box flexDirection="column" flexShrink={0}>
      {lines.map((runs, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the rows of a drawing have no other name
        <Text key={row} wrap="truncate">
          {runs.map((run, i) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: nor have the runs of a row
            <Stretch key={i} {...run} />
          ))}
        </Text>
      ))}
    </Box>
  )
}

const Stretch = ({ text, look }: BoardRun) => (
  <Text color={boardColour[look]} bold={look !== 'plain'} inverse={look === 'lit-name' || look === 'also'}>
    {text}
  </Text>
)
