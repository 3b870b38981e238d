import { type Product, type RunDiagnosis, suspectMarks } from '@boardwright/core'
import { Box } from 'ink'
import type { BoardView } from '../plot/board-frame.ts'
import { BoardPanel } from './board-panel.tsx'
import { CheckLines } from './check-lines.tsx'
import { NoSuspect, SuspectDetail } from './suspect-detail.tsx'
import { SuspectList } from './suspect-list.tsx'

export interface SuspectsViewProps {
  product: Product
  known: RunDiagnosis
  chosen: number
  first: number
  visible: number
  view: BoardView
  columns: number
  rows: number
}

const checkRows = 4
const narrowestList = 34
/** Share of a wide window that the list has; the board takes the rest. */
const listShare = 0.38

/** Suspects on the left, the board with the chosen one lit on the right, the next check below. */
export function SuspectsView(props: SuspectsViewProps) {
  const { product, known, chosen, view, columns, rows } = props
  const { diagnosis, evidence } = known
  const { board } = product
  const suspect = diagnosis.suspects[chosen]
  const height = rows - checkRows
  const listColumns = board ? Math.max(narrowestList, Math.floor(columns * listShare)) : columns
  const parts = suspect ? suspectMarks(suspect) : { lit: [], also: [], nodes: [] }
  return (
    <Box flexDirection="column" height={rows}>
      <Box height={height} overflow="hidden">
        <Box flexDirection="column" width={listColumns} flexShrink={0}>
          <SuspectList {...props} diagnosis={diagnosis} columns={listColumns - 1} />
          <Box height={1} flexShrink={0} />
          {suspect ? (
            <SuspectDetail suspect={suspect} columns={listColumns} />
          ) : (
            <NoSuspect diagnosis={diagnosis} columns={listColumns} />
          )}
        </Box>
        {board && <BoardPanel board={board} view={view} columns={columns - listColumns} rows={height} {...parts} />}
      </Box>
      <CheckLines checks={diagnosis.nextChecks} evidence={evidence} columns={columns} rows={checkRows} />
    </Box>
  )
}
