import { type Diagnosis, formatProbability } from '@boardwright/core'
import { Box, Text } from 'ink'
import { colour } from '../look.ts'
import { shareBar } from '../text/share-bar.ts'
import { suspectName } from '../text/suspect-words.ts'

export interface SuspectListProps {
  diagnosis: Diagnosis
  chosen: number
  /** Which stretch of the list is on the screen. */
  first: number
  visible: number
  columns: number
}

const percentColumns = 7

/** The suspects one a line: name, probability as a bar and in per cent. The last line is what no suspect explains. */
export function SuspectList({ diagnosis, chosen, first, visible, columns }: SuspectListProps) {
  const { suspects, noneProbability } = diagnosis
  const nameColumns = Math.max(14, Math.min(22, columns - percentColumns - 12))
  const barColumns = Math.max(4, columns - nameColumns - percentColumns - 3)
  const line = (name: string, share: number) =>
    `${name.slice(0, nameColumns).padEnd(nameColumns)} ${shareBar({ share, columns: barColumns })}${formatProbability(share).padStart(percentColumns)}`
  return (
    <Box flexDirection="column" flexShrink={0}>
      {suspects.slice(first, first + visible).map((suspect, i) => {
        const isChosen = first + i === chosen
        return (
          <Text key={suspect.suspicions[0].id} inverse={isChosen} bold={isChosen} wrap="truncate">
            {`${isChosen ? '›' : ' '} ${line(suspectName(suspect), suspect.probability)}`}
          </Text>
        )
      })}
      <Text color={colour.quiet} wrap="truncate">{`  ${line('none of these', noneProbability)}`}</Text>
    </Box>
  )
}
