import type { NextCheck, Product, RunDiagnosis } from '@boardwright/core'
import type { DiagnoseRun } from '@boardwright/core/workshop'
import { Box, Text } from 'ink'
import { useState } from 'react'
import type { Bench } from '../bench.ts'
import { type BenchKey, useBenchKeys } from '../hooks/use-bench-keys.ts'
import { useCheckAnswer } from '../hooks/use-check-answer.ts'
import { useListChoice } from '../hooks/use-list-choice.ts'
import { useTypedText } from '../hooks/use-typed-text.ts'
import { colour } from '../look.ts'
import { answerKind } from '../session/check-answer.ts'
import { outcomeWords } from '../text/suspect-words.ts'
import { wrapWords } from '../text/wrap-words.ts'
import { AnswerField } from './answer-field.tsx'
import { Footer } from './footer.tsx'

export interface CheckScreenProps {
  bench: Bench
  product: Product
  known: RunDiagnosis
  serial: string
  columns: number
  rows: number
  active: boolean
  ask: (more: Omit<DiagnoseRun, 'runId' | 'serial'>) => Promise<unknown>
  onBack: () => void
}

/** A number that every maker can read off, also where another check would tell more. */
const supplyCurrent: NextCheck = {
  kind: 'supply-current',
  setting: null,
  node: null,
  designator: null,
  words: 'measure the current that the board draws from its supply, with no signal',
  informationBits: 0,
  outcomes: [],
}

/** The checks that can be told about now. */
function openChecks({ diagnosis, evidence }: RunDiagnosis): NextCheck[] {
  const { nextChecks } = diagnosis
  const needless = evidence.supplyCurrentA !== null || nextChecks.some(({ kind }) => kind === 'supply-current')
  return needless ? nextChecks : [...nextChecks, supplyCurrent]
}

/** Tells what a check has shown; the suspects are then worked out again. */
export function CheckScreen(props: CheckScreenProps) {
  const { bench, product, known, serial, columns, rows, active } = props
  const checks = openChecks(known)
  const choice = useListChoice({ length: checks.length, visible: checks.length })
  const typed = useTypedText({ most: 20 })
  const [sound, setSound] = useState(true)
  const answer = useCheckAnswer({
    bench,
    product,
    serial,
    tell: (more) => {
      void props.ask(more)
      props.onBack()
    },
  })
  const check: NextCheck | undefined = checks[choice.chosen]
  const kind = check && answerKind(check)
  const onKey = (key: BenchKey) => {
    if (answer.activity) {
      if (key.name === 'escape') answer.stop()
    } else if (choice.onKey(key)) typed.clear()
    else if (key.name === 'escape') props.onBack()
    else if (key.name === 'left' || key.name === 'right') setSound(!sound)
    else if (typed.onKey(key)) return
    else if (key.name === 'enter' && check && kind) {
      if (kind.kind === 'number') typed.now.current && answer.tellNumber(check, typed.now.current)
      else if (kind.kind === 'part') answer.tellPart(kind.designator, sound)
      else if (kind.kind === 'sweep') answer.sweep(check)
    }
  }
  useBenchKeys(onKey, { active })
  return (
    <Box flexDirection="column" height={rows}>
      <Text wrap="truncate">
        <Text bold inverse>{` ${serial} `}</Text>
        {'  What did a check show? The best one comes first.'}
      </Text>
      <Box flexDirection="column" height={rows - 2} overflow="hidden">
        {checks.map((one, i) => (
          <Box key={one.words} flexDirection="column" flexShrink={0} marginTop={1} paddingX={1}>
            <Text bold={i === choice.chosen}>
              {wrapWords(`${i === choice.chosen ? '›' : '·'} ${one.words}`, columns - 3).join('\n')}
            </Text>
            {one.outcomes.length > 0 && (
              <Box paddingLeft={4}>
                <Text color={colour.quiet}>{wrapWords(outcomeWords(one), columns - 7).join('\n')}</Text>
              </Box>
            )}
          </Box>
        ))}
        <Box marginTop={1} paddingX={1} flexShrink={0}>
          {kind && (
            <AnswerField kind={kind} product={product} typed={typed.shown} sound={sound} activity={answer.activity} />
          )}
        </Box>
        {answer.problem && (
          <Box flexDirection="column" paddingX={1}>
            <Text bold>✗ {answer.problem.message}</Text>
            <Text>{answer.problem.remedy}</Text>
          </Box>
        )}
      </Box>
      <Footer
        keys={
          answer.activity
            ? [['Esc', 'stop']]
            : [
                ['↑ ↓', 'check'],
                ...(kind?.kind === 'part' ? ([['← →', 'as drawn or wrong']] as const) : []),
                ['Enter', kind?.kind === 'sweep' ? 'run the sweep' : 'tell it'],
                ['Esc', 'back'],
              ]
        }
      />
    </Box>
  )
}
