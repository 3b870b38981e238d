import type { Judgement } from '@boardwright/core'
import { Box, Text } from 'ink'
import { colour, verdictLook } from '../look.ts'
import { blockLetters } from '../plot/block-letters.ts'
import { wrapWords } from '../text/wrap-words.ts'

export interface VerdictViewProps {
  judgement: Judgement
  /** Unit, reference version and the like, for the frame's upper edge. */
  caption: string
  /** What this verdict tells about the rework before it. */
  outcome?: string
  columns: number
  rows: number
}

const reasonsThatFit = (rows: number) => (rows >= 24 ? 8 : rows >= 19 ? 5 : 3)

/** The verdict in letters that fill the width, then its reasons in words. */
export function VerdictView({ judgement, outcome, caption, columns, rows }: VerdictViewProps) {
  const look = verdictLook[judgement.verdict]
  // The reasons for the verdict itself come first; what else was noticed follows as far as there is room.
  const sorted = [...judgement.reasons].sort(
    (a, b) => Number(b.verdict === judgement.verdict) - Number(a.verdict === judgement.verdict),
  )
  const reasonRows = reasonsThatFit(rows)
  const letterRows = Math.max(5, Math.min(rows - reasonRows - 3, Math.floor(columns / 5)))
  const letters = blockLetters({ word: look.word, columns: columns - 4, rows: letterRows, fill: look.fill })
  const title = ` ${look.sign} ${caption} `
  const edge = look.edge.repeat(Math.max(0, columns - 2 - title.length - 3))
  return (
    <Box flexDirection="column" width={columns} height={rows} overflow="hidden">
      <Text color={look.colour} bold wrap="truncate">{` ${look.edge.repeat(3)}${title}${edge}`}</Text>
      {letters.map((line, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the rows of the letters have no other name
        <Text key={row} color={look.colour} bold wrap="truncate">{`  ${line}`}</Text>
      ))}
      <Text color={look.colour} bold wrap="truncate">{` ${look.edge.repeat(columns - 2)}`}</Text>
      <Box flexDirection="column" height={reasonRows + 1} overflow="hidden">
        {outcome && (
          <Box flexShrink={0} paddingX={1}>
            <Text bold>{wrapWords(`» ${outcome}`, columns - 3).join('\n')}</Text>
          </Box>
        )}
        {sorted.map((reason) => (
          <Box key={reason.message} flexShrink={0} paddingX={1}>
            <Box flexShrink={0} width={2}>
              <Text bold>{verdictLook[reason.verdict].sign}</Text>
            </Box>
            <Text>{wrapWords(reason.message, columns - 5).join('\n')}</Text>
          </Box>
        ))}
        {sorted.length === 0 && <Text color={colour.quiet}> No reason was given.</Text>}
      </Box>
    </Box>
  )
}
