import type { Diagnosis, Suspect } from '@boardwright/core'
import { Box, Text } from 'ink'
import { colour } from '../look.ts'
import { wrapWords } from '../text/wrap-words.ts'

/** One suspect in words: what seems to be wrong, the value expected against the value found. */
export function SuspectDetail({ suspect, columns }: { suspect: Suspect; columns: number }) {
  const [{ expected, found }] = suspect.suspicions
  return (
    <Box flexDirection="column" paddingX={1}>
      <Text>{wrapWords(`${suspect.words}.`, columns - 2).join('\n')}</Text>
      {expected !== null && found !== null && (
        <Text wrap="truncate">
          expected <Text bold>{expected}</Text>
        </Text>
      )}
      {found !== null && (
        <Text wrap="truncate">
          {'found    '}
          <Text bold>{found}</Text>
        </Text>
      )}
      {suspect.rig && <Text bold>Look at the rig before you touch the board.</Text>}
    </Box>
  )
}

/** No suspect at all, or none that explains enough. */
export function NoSuspect({ diagnosis, columns }: { diagnosis: Diagnosis; columns: number }) {
  return (
    <Box flexDirection="column" paddingX={1}>
      <Text bold color={colour.bad}>
        {wrapWords(diagnosis.words, columns - 2).join('\n')}
      </Text>
    </Box>
  )
}
