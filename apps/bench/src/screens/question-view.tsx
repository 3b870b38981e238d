import type { Product } from '@boardwright/core'
import { playbackCaution } from '@boardwright/core/audio'
import { Box, Text } from 'ink'
import type { RunQuestion } from '../session/test-request.ts'
import { wrapWords } from '../text/wrap-words.ts'

interface Words {
  title: string
  lines: string[]
}

function wordsOf(question: RunQuestion, product: Product): Words {
  if (question.kind === 'caution') return { title: ' ⚠ Before the first sound ', lines: [playbackCaution] }
  const label = product.settings.find(({ name }) => name === question.setting)?.label ?? question.setting
  if (question.kind === 'setting')
    return { title: ` Set: ${label} `, lines: ['Move the board to this setting, then go on.'] }
  const { message, remedy } = question.check
  return { title: ` ✗ No sweep yet: contact check at "${question.setting}" `, lines: [message, remedy] }
}

/** What a run waits for a person to say. */
export function QuestionView(props: { question: RunQuestion; product: Product; columns: number }) {
  const { title, lines } = wordsOf(props.question, props.product)
  return (
    <Box flexDirection="column" paddingX={1} paddingTop={1}>
      <Text bold inverse>
        {title}
      </Text>
      {lines.map((line, i) => (
        <Box key={line} marginTop={1}>
          <Text bold={i === 0}>{wrapWords(line, props.columns - 3).join('\n')}</Text>
        </Box>
      ))}
    </Box>
  )
}
