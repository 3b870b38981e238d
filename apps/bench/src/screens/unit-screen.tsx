import { formatWhen, journalWords, reworkRounds, roundWords } from '@boardwright/core'
import { Box, Text } from 'ink'
import { useMemo } from 'react'
import type { Bench } from '../bench.ts'
import { type BenchKey, useBenchKeys } from '../hooks/use-bench-keys.ts'
import { useLetterKeys } from '../hooks/use-letter-keys.ts'
import { useListChoice } from '../hooks/use-list-choice.ts'
import { colour, verdictLook } from '../look.ts'
import { Footer } from './footer.tsx'

export interface UnitScreenProps {
  bench: Bench
  serial: string
  version: number
  rows: number
  active: boolean
  onTest: (serial: string) => void
  onSuspects: (run: { runId: string; serial: string }) => void
  onBack: () => void
  onHelp: () => void
  onQuit: () => void
}

/** One unit: its state, its test runs with their reasons, its history. */
export function UnitScreen({ bench, serial, version, rows, active, ...go }: UnitScreenProps) {
  // biome-ignore lint/correctness/useExhaustiveDependencies: version says that the workshop has changed
  const detail = useMemo(() => bench.workshop.unit(serial), [bench, serial, version])
  const historyRows = Math.min(5, detail.history.length)
  const visible = Math.max(2, Math.floor((rows - 6 - historyRows) / 2))
  const choice = useListChoice({ length: detail.runs.length, visible })
  const onKey = (key: BenchKey) => {
    if (choice.onKey(key)) return
    if (key.name === 'enter' || key.name === 'space') go.onTest(serial)
    else if (key.name === 'escape' || key.name === 'tab') go.onBack()
  }
  const run = detail.runs[choice.chosen]
  const commands = run?.verdict === 'fail' ? { s: () => go.onSuspects({ runId: run.id, serial }) } : undefined
  const { onQuit, onHelp } = go
  useBenchKeys(useLetterKeys({ untouched: () => true, onQuit, onHelp, commands, onKey }), { active })

  const { unit, runs, history, reworks } = detail
  const [round] = reworkRounds({ runs, reworks })
  return (
    <Box flexDirection="column" height={rows}>
      <Text wrap="truncate">
        <Text bold inverse>{` ${unit.serial} `}</Text>
        {`  ${unit.state}   ${unit.productId} ${unit.revision}   made ${formatWhen(unit.createdAt)}`}
      </Text>
      <Text bold>{runs.length === 0 ? ' Not tested yet' : ` Test runs, newest first (${runs.length})`}</Text>
      <Box flexDirection="column" flexGrow={1} overflow="hidden">
        {runs.slice(choice.first, choice.first + visible).map((run, i) => (
          <Box key={run.id} flexDirection="column" flexShrink={0}>
            <Text inverse={choice.first + i === choice.chosen} wrap="truncate">
              {`${choice.first + i === choice.chosen ? '›' : ' '}${verdictLook[run.verdict].sign} ${verdictLook[run.verdict].word.padEnd(6)} ${formatWhen(run.startedAt)}   ${run.rig}, reference ${run.referenceVersion}, ${run.station} `}
            </Text>
            <Text wrap="truncate">{`     ${run.reason}`}</Text>
          </Box>
        ))}
      </Box>
      {round && <Text wrap="truncate">{` » ${roundWords(round)}`}</Text>}
      <Text bold> History</Text>
      {history.slice(0, historyRows).map((entry) => (
        <Text key={entry.seq} color={colour.quiet} wrap="truncate">
          {` ${formatWhen(entry.at)}   ${journalWords(entry)}   ${entry.station}`}
        </Text>
      ))}
      <Footer
        keys={[
          ['Enter', 'test this unit'],
          ...(run?.verdict === 'fail' ? ([['s', 'suspects']] as const) : []),
          ['↑ ↓', 'runs'],
          ['Esc', 'units'],
          ['?', 'help'],
          ['q', 'quit'],
        ]}
      />
    </Box>
  )
}
