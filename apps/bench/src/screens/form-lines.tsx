import { Box, Text } from 'ink'
import type { FormField } from '../hooks/use-form-fields.ts'

/** A form as lines of text, and below them the line that sends it. */
export function FormLines(props: {
  fields: readonly FormField[]
  values: Record<string, string>
  line: number
  send: string
}) {
  const { fields, values, line, send } = props
  const width = Math.max(...fields.map(({ label }) => label.length))
  return (
    <Box flexDirection="column">
      {fields.map(({ name, label, choices }, i) => {
        const value = values[name] ?? ''
        const isHere = i === line
        return (
          <Text key={name} wrap="truncate">
            {`${isHere ? '›' : ' '} ${label.padEnd(width)}  `}
            <Text bold inverse={isHere}>
              {choices ? ` ${isHere ? '‹' : ' '} ${value} ${isHere ? '›' : ' '} ` : ` ${value}${isHere ? '▏' : ''} `}
            </Text>
          </Text>
        )
      })}
      <Text> </Text>
      <Text bold inverse={line === fields.length}>{`${line === fields.length ? '›' : ' '} ${send} `}</Text>
    </Box>
  )
}
