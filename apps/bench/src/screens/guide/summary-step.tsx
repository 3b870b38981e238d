import { Box, Text } from 'ink'
import { rigLines } from '../../text/rig-words.ts'
import { wrapWords } from '../../text/wrap-words.ts'
import type { GuideStepProps } from './guide-step-props.ts'
import { Paragraph } from './paragraph.tsx'

/** Everything that is stored, and what is still open. */
export function SummaryStep({ settings, columns }: GuideStepProps) {
  if (!settings) return <Paragraph text="Nothing is stored yet: Shift-Tab goes back." columns={columns} bold />
  const lines = rigLines(settings)
  const open = lines.filter(({ done }) => !done).length
  const width = Math.max(...lines.map(({ label }) => label.length))
  return (
    <>
      <Paragraph
        text={
          open === 0
            ? `Version ${settings.version} of "${settings.name}" is stored and complete.`
            : `Version ${settings.version} is stored; ${open} ${open === 1 ? 'step is' : 'steps are'} open, the rig works without.`
        }
        columns={columns}
      />
      {lines.map(({ label, value, done }) => (
        <Box key={label} flexShrink={0}>
          <Box width={width + 4} flexShrink={0}>
            <Text bold={!done}>{`${done ? '✓' : '○'} ${label}`}</Text>
          </Box>
          <Text>{wrapWords(value, columns - width - 4).join('\n')}</Text>
        </Box>
      ))}
    </>
  )
}
