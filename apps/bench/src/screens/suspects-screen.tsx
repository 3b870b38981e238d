import { type Product, reworkableStates } from '@boardwright/core'
import { Box, Text } from 'ink'
import { useMemo, useState } from 'react'
import type { Bench } from '../bench.ts'
import type { BenchKey } from '../hooks/use-bench-keys.ts'
import { useBenchKeys } from '../hooks/use-bench-keys.ts'
import { useDiagnosis } from '../hooks/use-diagnosis.ts'
import { useLetterKeys } from '../hooks/use-letter-keys.ts'
import { useListChoice } from '../hooks/use-list-choice.ts'
import { colour } from '../look.ts'
import type { BoardView } from '../plot/board-frame.ts'
import { CheckScreen } from './check-screen.tsx'
import { Footer } from './footer.tsx'
import { ProblemView } from './problem-view.tsx'
import { ReworkScreen } from './rework-screen.tsx'
import { SuspectsView } from './suspects-view.tsx'

export interface SuspectsScreenProps {
  bench: Bench
  runId: string
  serial: string
  version: number
  columns: number
  rows: number
  active: boolean
  onTest: (serial: string) => void
  onBack: () => void
  onHelp: () => void
  onQuit: () => void
}

/** The parts that one looks at first. */
const suspectsShown = 5

/** What is probably wrong with a failed board, and from here: the next check, and the rework. */
export function SuspectsScreen(props: SuspectsScreenProps) {
  const { bench, runId, serial, version, columns, rows, active } = props
  const { known, working, problem, ask } = useDiagnosis(bench.diagnosing, runId)
  const [mode, setMode] = useState<'suspects' | 'check' | 'rework'>('suspects')
  // biome-ignore lint/correctness/useExhaustiveDependencies: version says that the workshop has changed
  const unit = useMemo(() => bench.workshop.unit(serial).unit, [bench, serial, version])
  const product: Product = useMemo(() => bench.workshop.product(unit.productId, unit.revision), [bench, unit])
  const suspects = known?.diagnosis.suspects ?? []
  const choice = useListChoice({ length: suspects.length, visible: suspectsShown })
  const side = suspects[choice.chosen]?.places[0]?.side === 'bottom' ? 'below' : 'above'
  const [turned, setTurned] = useState(false)
  const view: BoardView = turned === (side === 'below') ? 'above' : 'below'

  const canRework = reworkableStates.includes(unit.state) && unit.lastRunId === runId
  const onKey = (key: BenchKey) => {
    if (choice.onKey(key)) return setTurned(false)
    if (key.name === 'escape') props.onBack()
  }
  const commands = {
    ...(product.board ? { t: () => setTurned((now) => !now) } : {}),
    ...(known && !working ? { c: () => setMode('check') } : {}),
    ...(known && !working && canRework ? { r: () => setMode('rework') } : {}),
  }
  const { onQuit, onHelp } = props
  useBenchKeys(useLetterKeys({ untouched: () => true, onQuit, onHelp, commands, onKey }), {
    active: active && mode === 'suspects',
  })

  const back = () => setMode('suspects')
  const parts = { ...props, product, active: active && mode !== 'suspects', onBack: back, ask }
  if (known && mode === 'check') return <CheckScreen {...parts} known={known} />
  if (known && mode === 'rework') return <ReworkScreen {...parts} known={known} suspect={suspects[choice.chosen]} />
  const count = suspects.length === 1 ? '1 suspect' : `${suspects.length} suspects`
  return (
    <Box flexDirection="column" height={rows}>
      <Text wrap="truncate">
        <Text bold inverse>{` ${serial} `}</Text>
        {known && problem && <Text bold>{`  ✗ ${problem.message}`}</Text>}
        <Text>
          {known && !problem ? `  ${count} of ${known.diagnosis.hypothesisCount} explanations that were weighed` : ''}
        </Text>
        <Text color={colour.quiet}>{working ? '  working …' : ''}</Text>
      </Text>
      <Box height={rows - 2} flexDirection="column" overflow="hidden">
        {!known && problem && <ProblemView title={`${serial}: no suspects`} problem={problem} />}
        {known && (
          <SuspectsView
            {...{ product, known, view, columns, chosen: choice.chosen, first: choice.first }}
            visible={suspectsShown}
            rows={rows - 2}
          />
        )}
        {!known && !problem && <Text>{'\n Working out what is probably wrong …'}</Text>}
      </Box>
      <Footer
        keys={[
          ['↑ ↓', 'suspect'],
          ...(product.board ? ([['t', 'turn board']] as const) : []),
          ...(known ? ([['c', 'check']] as const) : []),
          ...(known && canRework ? ([['r', 'rework']] as const) : []),
          ['Esc', 'back'],
          ['?', 'help'],
          ['q', 'quit'],
        ]}
      />
    </Box>
  )
}
