import type { Reference, Unit } from '@boardwright/core'
import { Box, Text } from 'ink'
import { useMemo } from 'react'
import type { Bench } from '../bench.ts'
import { colour } from '../look.ts'
import type { SerialEntry } from '../session/serial-entry.ts'
import { knownAbout } from '../text/known-about.ts'
import { RigReminder, rigReminder } from './rig-reminder.tsx'
import { SettingPanels } from './setting-panels.tsx'

export interface ReadyViewProps {
  bench: Bench
  version: number
  reference: Reference | undefined
  entry: SerialEntry
  next: Unit | undefined
  columns: number
  rows: number
}

const isBlank = (entry: SerialEntry) => entry.typed === undefined

function Hint({ bench, entry, next }: ReadyViewProps) {
  const serial = entry.typed ?? next?.serial
  if (entry.problem) return <Text bold>{` ✗ ${entry.problem}`}</Text>
  if (serial === undefined) return <Text> No unit waits for its test: scan or type a serial number.</Text>
  if (entry.typed !== undefined && !entry.accepted) return <Text> Enter takes it.</Text>
  return (
    <Text wrap="truncate">
      <Text color={colour.quiet}>{` ${knownAbout(bench.workshop, serial)}. `}</Text>
      <Text bold>Enter tests it.</Text>
    </Text>
  )
}

/** Before a run: the unit to test, a word of caution, and what its curves will be held against. */
export function ReadyView(props: ReadyViewProps) {
  const { bench, version, reference, entry, next, columns, rows } = props
  const serial = entry.typed ?? next?.serial ?? ''
  const typing = !isBlank(entry) && !entry.accepted
  // biome-ignore lint/correctness/useExhaustiveDependencies: version says that the workshop has changed
  const reminder = useMemo(() => rigReminder(bench), [bench, version])
  return (
    <Box flexDirection="column" height={rows}>
      <Text wrap="truncate">
        <Text> Unit </Text>
        <Text bold inverse>{` ${serial}${typing ? '▏' : ''}${' '.repeat(Math.max(1, 14 - serial.length))}`}</Text>
        <Text>{isBlank(entry) && serial ? '  next to test' : ''}</Text>
      </Text>
      <Hint {...props} />
      <Text color={colour.quiet} wrap="truncate">
        {' Caution: a sweep can be loud; headphones off, loudspeakers down.'}
      </Text>
      {reminder && <RigReminder status={reminder} />}
      <SettingPanels bench={bench} reference={reference} shown={0} columns={columns} rows={rows - (reminder ? 4 : 3)} />
    </Box>
  )
}
