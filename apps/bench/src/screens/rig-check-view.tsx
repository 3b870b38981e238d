import type { DriftChart, RetestItem, RigCheckStatus } from '@boardwright/core'
import { Box, Text } from 'ink'
import { colour } from '../look.ts'
import { plotDrift } from '../plot/drift-plot.ts'
import { retestLines } from '../text/retest-lines.ts'
import { statusSign } from '../text/rig-check-words.ts'
import { wrapWords } from '../text/wrap-words.ts'
import { PlotView } from './plot-view.tsx'

/** So many units of the list fit beside a chart in 24 lines. */
const listed = 4

export interface RigCheckViewProps {
  status: RigCheckStatus
  chart: DriftChart
  retest: readonly RetestItem[]
  columns: number
  rows: number
}

/** How the rig stands: a sentence, the drift of its level, and what must be tested again. */
export function RigCheckView({ status, chart, retest, columns, rows }: RigCheckViewProps) {
  const sentence = wrapWords(`${statusSign[status.state]} ${status.sentence}`, columns - 2)
  const warning = status.warning ? wrapWords(`◆ ${status.warning}`, columns - 2) : []
  const items = retestLines(retest).slice(0, listed)
  const more = retest.length - items.length
  const listRows = items.length === 0 ? 0 : items.length + 1
  const chartRows = rows - sentence.length - warning.length - 2 - listRows
  return (
    <Box flexDirection="column" height={rows}>
      <Text bold color={status.state === 'drifted' ? colour.bad : undefined}>
        {sentence.map((line) => ` ${line}`).join('\n')}
      </Text>
      {warning.length > 0 && <Text>{warning.map((line) => ` ${line}`).join('\n')}</Text>}
      <Text color={colour.quiet} wrap="truncate">{` ${countWords(status)}`}</Text>
      {chart.checks.length > 0 ? (
        <>
          <Text color={colour.quiet} wrap="truncate">{` ${chartWords(chart)}`}</Text>
          <PlotView lines={plotDrift({ series: chart.level, columns: columns - 1, rows: Math.max(3, chartRows) })} />
        </>
      ) : (
        <Box paddingX={1} paddingTop={1}>
          <Text>{wrapWords(firstWords, columns - 3).join('\n')}</Text>
        </Box>
      )}
      {items.length > 0 && (
        <Text
          bold
          wrap="truncate"
        >{` To be tested again: ${retest.length}${more > 0 ? `, the last ${items.length}` : ''}`}</Text>
      )}
      {items.map((line) => (
        <Text key={line} wrap="truncate">
          {line}
        </Text>
      ))}
    </Box>
  )
}

const firstWords =
  'Put the reference board in and press Enter: its curves show whether the rig is as it was when the reference was measured.'

const countWords = ({ lastGood, unitsSince, everyUnits }: RigCheckStatus): string =>
  `${unitsSince} ${unitsSince === 1 ? 'unit' : 'units'} tested ${lastGood ? 'since the last good check' : 'so far'}; due after ${everyUnits}, and after a pause.`

function chartWords({ level, checks }: DriftChart): string {
  const head = `Level at 1 kHz; dashes: the limit, ${level.rigLimitDb} dB`
  return level.control ? `${head}; dots: what is usual for this rig` : `${head}; checks so far: ${checks.length}`
}
