import type { Reference } from '@boardwright/core'
import { Box, Text } from 'ink'
import type { Bench } from '../bench.ts'
import type { SettingProgress } from '../session/setting-progress.ts'
import type { RunQuestion } from '../session/test-request.ts'
import { ProgressLines } from './progress-line.tsx'
import { QuestionView } from './question-view.tsx'
import { SettingPanels } from './setting-panels.tsx'

export interface RunningViewProps {
  bench: Bench
  reference: Reference | undefined
  serial: string
  settings: readonly SettingProgress[]
  /** What the run waits for. */
  question?: RunQuestion
  columns: number
  rows: number
}

/** While the settings are measured: a bar for each, and the latest curve over reference and band. */
export function RunningView({ bench, reference, serial, settings, question, columns, rows }: RunningViewProps) {
  const done = settings.every((one) => one.state === 'recorded') && settings.length > 0
  const current = settings.find((one) => one.state === 'running')
  const label = bench.product.settings.find((one) => one.name === current?.setting)?.label
  const lastCurve = settings.findLastIndex((one) => one.curve)
  const curves = Object.fromEntries(settings.map((one) => [one.setting, one.curve]))
  return (
    <Box flexDirection="column" height={rows}>
      <Text wrap="truncate">
        <Text> Unit </Text>
        <Text bold inverse>{` ${serial} `}</Text>
        <Text>{done ? '  judging' : label ? `  set: ${label}` : ''}</Text>
      </Text>
      <ProgressLines settings={settings} columns={columns} />
      {question ? (
        <QuestionView question={question} product={bench.product} columns={columns} />
      ) : (
        <SettingPanels
          bench={bench}
          reference={reference}
          shown={Math.max(0, lastCurve)}
          curves={curves}
          columns={columns}
          rows={rows - 1 - settings.length}
        />
      )}
    </Box>
  )
}
