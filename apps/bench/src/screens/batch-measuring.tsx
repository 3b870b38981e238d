import type { Product } from '@boardwright/core'
import { Box, Text } from 'ink'
import { useEffect, useState } from 'react'
import type { BatchPhase } from '../hooks/use-batch.ts'
import { LargeWords } from './large-words.tsx'
import { ProgressLines } from './progress-line.tsx'
import { QuestionView } from './question-view.tsx'

export interface BatchMeasuringProps {
  phase: Extract<BatchPhase, { kind: 'measuring' | 'judging' }>
  product: Product
  columns: number
  rows: number
}

/** Seconds since the pedal: it also shows that the screen is alive. */
function useSeconds(): number {
  const [seconds, setSeconds] = useState(0)
  useEffect(() => {
    const began = performance.now()
    const timer = setInterval(() => setSeconds((performance.now() - began) / 1000), 200)
    return () => clearInterval(timer)
  }, [])
  return seconds
}

/** While a board is on the rig. */
export function BatchMeasuring({ phase, product, columns, rows }: BatchMeasuringProps) {
  const seconds = useSeconds()
  const settings = phase.kind === 'measuring' ? phase.settings : []
  const question = phase.kind === 'measuring' ? phase.question : undefined
  return (
    <Box flexDirection="column" height={rows} overflow="hidden">
      <Text wrap="truncate">
        <Text> Board </Text>
        <Text bold inverse>{` ${phase.serial} `}</Text>
        <Text>{`  ${seconds.toFixed(1)} s${phase.kind === 'judging' ? '  judging' : ''}`}</Text>
      </Text>
      {settings.length > 0 && <ProgressLines settings={settings} columns={columns} />}
      {question ? (
        <QuestionView question={question} product={product} columns={columns} />
      ) : (
        <LargeWords words={['TEST']} columns={columns} rows={Math.max(6, rows - 2 - settings.length)} fill="hatched" />
      )}
    </Box>
  )
}
