import { Box, Text, useApp } from 'ink'
import type { Bench } from '../bench.ts'
import { useTerminalSize } from '../hooks/use-terminal-size.ts'
import { useWorkshopVersion } from '../hooks/use-workshop-version.ts'
import { smallest } from '../look.ts'
import type { BatchRecorder } from '../session/batch-recorder.ts'
import type { BatchResult } from '../text/batch-words.ts'
import { BatchScreen } from './batch-screen.tsx'
import { BenchHeader } from './bench-header.tsx'

export interface BatchAppProps {
  bench: Bench
  recorder: BatchRecorder
  /** Hears what was done, whenever that changes. */
  onResults?: (results: readonly BatchResult[]) => void
}

/** The batch by itself, as `boardwright batch` shows it. */
export function BatchApp({ bench, recorder, onResults }: BatchAppProps) {
  const { exit } = useApp()
  const { columns, rows: allRows } = useTerminalSize()
  useWorkshopVersion(bench.workshop)
  const tooSmall = columns < smallest.columns || allRows < smallest.rows
  const rows = allRows - 1 // a full last line would make the terminal scroll
  const reference = bench.workshop.currentReference(bench.product.id)
  const subject = `${bench.product.name} rev. ${bench.product.revision}, ${reference ? `reference ${reference.version}` : 'no reference'}`
  return (
    <Box flexDirection="column" width={columns} height={tooSmall ? undefined : rows}>
      {tooSmall && (
        <Text wrap="wrap">
          {`The bench needs ${smallest.columns} x ${smallest.rows} characters; this window has ${columns} x ${allRows}. Make it larger, or Ctrl-C.`}
        </Text>
      )}
      <Box flexDirection="column" display={tooSmall ? 'none' : 'flex'}>
        <BenchHeader
          title="Batch"
          subject={subject}
          station={bench.workshop.station}
          rigLabel={bench.rigLabel}
          simulated={bench.rig.kind === 'simulated'}
        />
        <BatchScreen
          bench={bench}
          recorder={recorder}
          columns={columns}
          rows={rows - 2}
          active={!tooSmall}
          onResults={onResults}
          onQuit={() => exit()}
        />
      </Box>
    </Box>
  )
}
