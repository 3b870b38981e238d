import type { TestRun } from '@boardwright/core'
import { Box, Text } from 'ink'
import type { Bench } from '../bench.ts'
import { useReworkOutcome } from '../hooks/use-rework-outcome.ts'
import { colour, verdictLook } from '../look.ts'
import type { FinishedTest } from '../session/run-test.ts'
import { SettingPanels } from './setting-panels.tsx'
import { VerdictView } from './verdict-view.tsx'

export interface VerdictPagesProps {
  bench: Bench
  finished: FinishedTest
  /** 0 the verdict, then the settings; any whole number, it goes round. */
  page: number
  columns: number
  rows: number
}

/** From this height on the curves stand below the verdict. */
const rowsForBoth = 38

const curvesOf = (run: TestRun) => Object.fromEntries(run.measurements.map((one) => [one.setting, one.curve]))

/** The verdict of a run, and behind it (arrow keys) the curves it was given for. */
export function VerdictPages({ bench, finished, page, columns, rows }: VerdictPagesProps) {
  const { run, newUnit, unit } = finished.recorded
  const settings = bench.product.testPlan.settings
  const outcome = useReworkOutcome(bench, run)
  const pages = settings.length + 1
  const shown = ((page % pages) + pages) % pages
  const caption = [
    `${run.serial}${newUnit ? ' (new unit)' : ''}: ${unit.state}`,
    `reference ${run.referenceVersion}`,
    `judged in ${Math.round(finished.judgedInMs)} ms`,
  ].join(' · ')
  const panels = (index: number, height: number) => (
    <SettingPanels
      bench={bench}
      shown={index}
      curves={curvesOf(run)}
      judgements={run.judgement.settings}
      reference={finished.reference}
      columns={columns}
      rows={height}
    />
  )
  if (shown > 0) {
    const look = verdictLook[run.verdict]
    return (
      <Box flexDirection="column" height={rows}>
        <Text color={look.colour} wrap="truncate">
          <Text bold inverse>{` ${look.sign} ${look.word} `}</Text>
          <Text color={colour.quiet}>{`  ${caption}`}</Text>
        </Text>
        {panels(shown - 1, rows - 1)}
      </Box>
    )
  }
  if (rows < rowsForBoth)
    return <VerdictView judgement={run.judgement} outcome={outcome} caption={caption} columns={columns} rows={rows} />
  const verdictRows = Math.floor(rows * 0.5)
  return (
    <Box flexDirection="column" height={rows}>
      <VerdictView judgement={run.judgement} outcome={outcome} caption={caption} columns={columns} rows={verdictRows} />
      {panels(0, rows - verdictRows)}
    </Box>
  )
}
