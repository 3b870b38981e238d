import { Box, Text } from 'ink'
import { useEffect, useRef, useState } from 'react'
import type { Bench } from '../bench.ts'
import { type Batch, useBatch } from '../hooks/use-batch.ts'
import { type BenchKey, useBenchKeys } from '../hooks/use-bench-keys.ts'
import { useLetterKeys } from '../hooks/use-letter-keys.ts'
import type { BatchRecorder } from '../session/batch-recorder.ts'
import { emptyEntry, type SerialEntry, stepSerialEntry } from '../session/serial-entry.ts'
import type { BatchResult } from '../text/batch-words.ts'
import { knownAbout } from '../text/known-about.ts'
import { BatchMeasuring } from './batch-measuring.tsx'
import { BatchNext } from './batch-next.tsx'
import { BatchSummary } from './batch-summary.tsx'
import { BatchTrouble } from './batch-trouble.tsx'
import { Footer } from './footer.tsx'
import { rigReminder } from './rig-reminder.tsx'

export interface BatchScreenProps {
  bench: Bench
  recorder: BatchRecorder
  columns: number
  rows: number
  active: boolean
  onResults?: (results: readonly BatchResult[]) => void
  onQuit: () => void
}

/** A pedal bounces, and a foot stays on it: a press so soon after the screen has changed is no new one. */
const deafMs = 700

const footers = {
  next: [
    ['pedal, Space, Enter', 'test'],
    ['scan', 'another'],
    ['e', 'summary'],
    ['q', 'quit'],
  ],
  measuring: [['Esc', 'stop: nothing is stored']],
  question: [
    ['pedal', 'go on'],
    ['m', 'measure all the same (contact check)'],
    ['Esc', 'stop'],
  ],
  judging: [['', 'a moment']],
  alike: [
    ['pedal', 'swapped: measure'],
    ['k', 'keep: it is another board'],
    ['Esc', 'drop'],
  ],
  problem: [
    ['pedal', 'try again'],
    ['Esc', 'leave it out'],
  ],
  summary: [
    ['Enter', 'go on'],
    ['q', 'quit'],
  ],
} as const

const isPedal = (key: BenchKey) => key.name === 'enter' || key.name === 'space'
const isLetter = (key: BenchKey, letter: string) => key.name === 'text' && key.text.toLowerCase() === letter

/** The batch: swap the board, press the pedal; everything else goes by itself. */
export function BatchScreen({ bench, recorder, columns, rows, active, onResults, onQuit }: BatchScreenProps) {
  const batch = useBatch(bench, recorder)
  const { phase, results, offered } = batch
  useEffect(() => onResults?.(results), [onResults, results])
  const [entry, setEntry] = useState<SerialEntry>(emptyEntry)
  const entryNow = useRef(entry) // several keys of a scanner come before the next drawing
  const changedAt = useRef({ kind: phase.kind, ms: Number.NEGATIVE_INFINITY })
  if (changedAt.current.kind !== phase.kind) changedAt.current = { kind: phase.kind, ms: performance.now() }
  const change = (next: SerialEntry) => {
    entryNow.current = next
    setEntry(next)
  }
  const reminder = rigReminder(bench)
  const begin = (serial: string) => {
    if (reminder?.state === 'drifted') return
    change(emptyEntry)
    batch.start(serial)
  }
  const onKey = (key: BenchKey) => {
    if (isPedal(key) && performance.now() - changedAt.current.ms < deafMs) return
    if (phase.kind !== 'next') return onPhaseKey(batch, key)
    const step = stepSerialEntry(entryNow.current, { key, offered, nowMs: Date.now() })
    if (step.start) return begin(step.start)
    change(step.entry)
  }
  const letters = useLetterKeys({
    untouched: () => phase.kind === 'summary' || (phase.kind === 'next' && entryNow.current.typed === undefined),
    onQuit,
    onHelp: () => {}, // the footer says all that there is
    commands: phase.kind === 'next' ? { e: batch.finish } : undefined,
    onKey,
  })
  useBenchKeys(letters, { active })
  const size = { columns, rows: rows - 1 - (reminder ? 1 : 0) }
  const serial = entry.typed ?? offered
  const footer = phase.kind === 'measuring' && phase.question ? footers.question : footers[phase.kind]
  return (
    <Box flexDirection="column" height={rows}>
      {reminder && <Text bold wrap="truncate">{` ◆ ${reminder.sentence} (boardwright rig-check)`}</Text>}
      {phase.kind === 'next' && (
        <BatchNext
          entry={entry}
          offered={offered}
          known={serial === undefined ? '' : knownAbout(bench.workshop, serial)}
          results={results}
          {...size}
        />
      )}
      {(phase.kind === 'measuring' || phase.kind === 'judging') && (
        <BatchMeasuring phase={phase} product={bench.product} {...size} />
      )}
      {(phase.kind === 'alike' || phase.kind === 'problem') && <BatchTrouble phase={phase} {...size} />}
      {phase.kind === 'summary' && <BatchSummary results={results} {...size} />}
      <Footer keys={footer} />
    </Box>
  )
}

function onPhaseKey(batch: Batch, key: BenchKey) {
  const { phase } = batch
  if (key.name === 'escape') return batch.drop()
  if (phase.kind === 'measuring' && phase.question) {
    if (isPedal(key)) batch.answer('go')
    else if (phase.question.kind === 'contact' && isLetter(key, 'm')) batch.answer('measure')
  } else if (phase.kind === 'alike') {
    if (isPedal(key)) batch.start(phase.serial)
    else if (isLetter(key, 'k')) batch.keepAlike()
  } else if (phase.kind === 'problem' && isPedal(key)) batch.start(phase.serial)
  else if (phase.kind === 'summary' && isPedal(key)) batch.resume()
}
