import { Box, Text } from 'ink'
import { colour, verdictLook } from '../look.ts'
import type { SerialEntry } from '../session/serial-entry.ts'
import { type BatchResult, resultLine } from '../text/batch-words.ts'
import { wrapWords } from '../text/wrap-words.ts'
import { LargeWords } from './large-words.tsx'

export interface BatchNextProps {
  entry: SerialEntry
  offered: string | undefined
  /** What is known about the serial number that would be tested. */
  known: string
  results: readonly BatchResult[]
  columns: number
  rows: number
}

/** The verdict of the board that comes out, as a band across the screen. */
function LastVerdict({ last, columns }: { last: BatchResult; columns: number }) {
  const look = verdictLook[last.verdict]
  const words = ` ${look.sign} ${look.word}  ${last.serial}  ${last.verdict === 'pass' ? 'take it out' : 'SET IT ASIDE'} `
  const [reason, more] = last.verdict === 'pass' ? [] : wrapWords(last.reason, columns - 4)
  return (
    <Box flexDirection="column">
      <Text bold inverse color={look.colour} wrap="truncate">
        {words.padEnd(columns - 1, ' ')}
      </Text>
      {reason && <Text wrap="truncate">{`   ${reason}${more ? ' …' : ''}`}</Text>}
    </Box>
  )
}

/** Between two boards: what comes out, what goes in, and the last few in a line each. */
export function BatchNext({ entry, offered, known, results, columns, rows }: BatchNextProps) {
  const serial = entry.typed ?? offered ?? ''
  const typing = entry.typed !== undefined && !entry.accepted
  const last = results.at(-1)
  const above = last ? (last.verdict === 'pass' ? 1 : 2) : 0
  const listed = Math.min(results.length, Math.max(0, Math.min(4, rows - 16)))
  const letterRows = Math.max(10, rows - above - listed - 3)
  return (
    <Box flexDirection="column" height={rows} overflow="hidden">
      {last && <LastVerdict last={last} columns={columns} />}
      <LargeWords words={['NEXT', 'BOARD']} columns={columns} rows={letterRows} />
      <Text wrap="truncate">
        <Text> Board </Text>
        <Text bold inverse>{` ${serial}${typing ? '▏' : ''}${' '.repeat(Math.max(1, 14 - serial.length))}`}</Text>
        {entry.problem ? <Text bold>{`  ✗ ${entry.problem}`}</Text> : <Text color={colour.quiet}>{`  ${known}`}</Text>}
      </Text>
      <Text bold wrap="truncate">
        {typing
          ? ' Enter takes this serial number.'
          : serial
            ? ' Swap the board, then press the pedal.'
            : ' Scan the first serial number.'}
      </Text>
      {results.slice(results.length - listed).map((one) => (
        <Text key={`${one.serial} ${one.boardS}`} color={colour.quiet} wrap="truncate">{` ${resultLine(one)}`}</Text>
      ))}
    </Box>
  )
}
