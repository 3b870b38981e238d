import { Box, Text } from 'ink'
import { blockLetters, type Fill } from '../plot/block-letters.ts'

export interface LargeWordsProps {
  /** One word a line. */
  words: readonly string[]
  columns: number
  /** Rows of all lines together. */
  rows: number
  fill?: Fill
  colour?: string
}

/** Words as large as the room allows, to be read from across the workshop. */
export function LargeWords({ words, columns, rows, fill = 'solid', colour }: LargeWordsProps) {
  const each = Math.max(4, Math.floor(rows / words.length))
  return (
    <Box flexDirection="column" height={rows} overflow="hidden">
      {words.flatMap((word) =>
        blockLetters({ word, columns: columns - 4, rows: each, fill }).map((line, row) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: the rows of the letters have no other name
          <Text key={`${word} ${row}`} color={colour} bold wrap="truncate">{`  ${line}`}</Text>
        )),
      )}
    </Box>
  )
}
