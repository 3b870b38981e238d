import { Box, Text } from 'ink'
import type { BatchPhase } from '../hooks/use-batch.ts'
import { colour } from '../look.ts'
import { wrapWords } from '../text/wrap-words.ts'
import { LargeWords } from './large-words.tsx'

export interface BatchTroubleProps {
  phase: Extract<BatchPhase, { kind: 'alike' | 'problem' }>
  columns: number
  rows: number
}

const sentencesOf = (phase: BatchTroubleProps['phase']): { title: string; lines: string[] } => {
  if (phase.kind === 'problem')
    return { title: `${phase.serial}: no verdict`, lines: [phase.problem.message, phase.problem.remedy] }
  const { serial, differenceDb } = phase.like
  return {
    title: `${phase.serial}: is this still ${serial}?`,
    lines: [
      `It answers like ${serial}, within ${differenceDb.toFixed(3)} dB at every frequency: two boards are hardly ever so alike. Nothing is stored yet.`,
      `Swap the board and press the pedal to measure ${phase.serial}; or press k to keep it, if it is another board all the same.`,
    ],
  }
}

/** What holds the batch up until somebody has looked. */
export function BatchTrouble({ phase, columns, rows }: BatchTroubleProps) {
  const { title, lines } = sentencesOf(phase)
  const wrapped = lines.map((line) => wrapWords(line, columns - 3))
  const used = wrapped.reduce((sum, one) => sum + one.length + 1, 2)
  return (
    <Box flexDirection="column" height={rows} overflow="hidden">
      <LargeWords
        words={phase.kind === 'alike' ? ['SAME'] : ['STOP']}
        columns={columns}
        rows={Math.max(5, rows - used)}
        fill="cut-out"
        colour={colour.bad}
      />
      <Text bold inverse wrap="truncate">{` ${title} `}</Text>
      {wrapped.map((text, i) => (
        <Box key={lines[i]} marginTop={i === 0 ? 0 : 1} paddingX={1} flexShrink={0}>
          <Text bold={i === 0}>{text.join('\n')}</Text>
        </Box>
      ))}
    </Box>
  )
}
