import { Box, Text } from 'ink'
import { colour } from '../look.ts'

/** What the keys do here. */
export function Footer({ keys }: { keys: readonly (readonly [key: string, does: string])[] }) {
  return (
    <Box>
      <Text wrap="truncate">
        {keys.map(([key, does]) => (
          <Text key={key}>
            {' '}
            <Text bold inverse>{` ${key} `}</Text>
            <Text>{` ${does}`}</Text>
          </Text>
        ))}
        <Text color={colour.quiet}> </Text>
      </Text>
    </Box>
  )
}
