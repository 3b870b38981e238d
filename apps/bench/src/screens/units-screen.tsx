import { formatAgo, type UnitState } from '@boardwright/core'
import { Box, Text } from 'ink'
import { useMemo, useState } from 'react'
import type { Bench } from '../bench.ts'
import { type BenchKey, useBenchKeys } from '../hooks/use-bench-keys.ts'
import { useLetterKeys } from '../hooks/use-letter-keys.ts'
import { useListChoice } from '../hooks/use-list-choice.ts'
import { colour } from '../look.ts'
import { Footer } from './footer.tsx'

export interface UnitsScreenProps {
  bench: Bench
  version: number
  rows: number
  active: boolean
  onOpen: (serial: string) => void
  onBack: () => void
  onHelp: () => void
  onQuit: () => void
}

const stateSign: Partial<Record<UnitState, string>> = { untested: '○', ready: '✓', failed: '✗', returned: '↩' }

/** All units with their states; typing or scanning narrows the list. */
export function UnitsScreen({ bench, version, rows, active, onOpen, onBack, onHelp, onQuit }: UnitsScreenProps) {
  const [search, setSearch] = useState('')
  const visible = Math.max(3, rows - 4)
  // biome-ignore lint/correctness/useExhaustiveDependencies: version says that the workshop has changed
  const { units, summary } = useMemo(
    () => ({ units: bench.workshop.units({ search: search || undefined }), summary: bench.workshop.summary() }),
    [bench, search, version],
  )
  const choice = useListChoice({ length: units.length, visible })
  const narrow = (text: string) => {
    setSearch(text)
    choice.restart()
  }
  const onKey = (key: BenchKey) => {
    if (choice.onKey(key)) return
    if (key.name === 'text') narrow(search + key.text.toUpperCase().replaceAll('/', ''))
    else if (key.name === 'backspace') narrow(search.slice(0, -1))
    else if (key.name === 'escape' && search) narrow('')
    else if (key.name === 'tab' || key.name === 'escape') onBack()
    else if (key.name === 'enter' && units[choice.chosen]) onOpen(units[choice.chosen].serial)
  }
  useBenchKeys(useLetterKeys({ untouched: () => search === '', onQuit, onHelp, onKey }), { active })

  const counts = Object.entries(summary.unitsByState).filter(([, count]) => count > 0)
  const now = new Date()
  return (
    <Box flexDirection="column" height={rows}>
      <Text wrap="truncate">{` ${summary.units} units: ${counts.map(([state, count]) => `${count} ${state}`).join(', ') || 'none yet'}`}</Text>
      <Text wrap="truncate">{search ? ` Serial number contains "${search}"` : ' Type or scan to narrow the list'}</Text>
      <Box flexDirection="column" height={rows - 3} overflow="hidden">
        {units.slice(choice.first, choice.first + visible).map((unit, i) => (
          <Text key={unit.serial} inverse={choice.first + i === choice.chosen} wrap="truncate">
            {`${choice.first + i === choice.chosen ? '›' : ' '}${stateSign[unit.state] ?? '·'} ${unit.serial.padEnd(18)} ${unit.state.padEnd(10)} `}
            <Text color={choice.first + i === choice.chosen ? undefined : colour.quiet}>
              {`${formatAgo(unit.updatedAt, { now }).padEnd(18)} ${unit.lastRun?.reason ?? 'not tested yet'} `}
            </Text>
          </Text>
        ))}
        {units.length === 0 && <Text> No unit matches. Esc shows all again.</Text>}
      </Box>
      <Footer
        keys={[
          ['↑ ↓', 'choose'],
          ['Enter', 'open'],
          ['Tab', 'test screen'],
          ['?', 'help'],
          ['q', 'quit'],
        ]}
      />
    </Box>
  )
}
