import { Box, Text } from 'ink'
import { wrapWords } from '../../text/wrap-words.ts'

/** A few sentences, with an empty line after them. */
export function Paragraph({ text, columns, bold }: { text: string; columns: number; bold?: boolean }) {
  return (
    <Box marginBottom={1} flexShrink={0}>
      <Text bold={bold}>{wrapWords(text, columns).join('\n')}</Text>
    </Box>
  )
}
