import type { Reference, Unit } from '@boardwright/core'
import { Box } from 'ink'
import { useEffect, useRef, useState } from 'react'
import type { Bench } from '../bench.ts'
import { type BenchKey, useBenchKeys } from '../hooks/use-bench-keys.ts'
import { useLetterKeys } from '../hooks/use-letter-keys.ts'
import type { TestSession } from '../hooks/use-test-session.ts'
import { emptyEntry, type SerialEntry, stepSerialEntry } from '../session/serial-entry.ts'
import type { RunQuestion } from '../session/test-request.ts'
import { Footer } from './footer.tsx'
import { ProblemView } from './problem-view.tsx'
import { ReadyView } from './ready-view.tsx'
import { RunningView } from './running-view.tsx'
import { testFooter } from './test-footer.ts'
import { VerdictPages } from './verdict-pages.tsx'

export interface TestScreenProps {
  bench: Bench
  session: TestSession
  reference: Reference | undefined
  /** A unit chosen on another screen. */
  chosen?: { serial: string }
  columns: number
  rows: number
  active: boolean
  version: number
  onUnits: () => void
  onRigCheck: () => void
  /** The set-up guide, for a rig that has one. */
  onGuide?: () => void
  /** The suspects of a run that failed. */
  onSuspects: (run: { runId: string; serial: string }) => void
  /** A unit that passed is pressed hard. */
  onHard: (serial: string) => void
  onHelp: () => void
  onQuit: () => void
}

/** The test screen: choose a unit, one key, verdict, next unit. */
export function TestScreen(props: TestScreenProps) {
  const { bench, session, reference, columns, rows, active, chosen } = props
  const { phase } = session
  const [entry, setEntry] = useState<SerialEntry>(emptyEntry)
  const entryNow = useRef(entry) // several keys of a scanner come before the next drawing
  const [page, setPage] = useState(0)
  const changeEntry = (next: SerialEntry) => {
    entryNow.current = next
    setEntry(next)
  }
  // biome-ignore lint/correctness/useExhaustiveDependencies: only a new choice fills the field
  useEffect(() => {
    if (chosen) changeEntry({ typed: chosen.serial, accepted: true, acceptedAtMs: 0 })
  }, [chosen])
  const failed = phase.kind === 'verdict' && phase.finished.recorded.run.verdict === 'fail' ? phase.finished : undefined
  const passed =
    phase.kind === 'verdict' && phase.finished.recorded.run.verdict === 'pass'
      ? phase.finished.recorded.run.serial
      : undefined
  const failedRunId = failed?.recorded.run.id
  useEffect(() => {
    // Worked out while the verdict is read, so that they stand there when they are asked for.
    if (failedRunId) bench.diagnosing.show(failedRunId).catch(() => {})
  }, [bench, failedRunId])
  const next: Unit | undefined = bench.workshop.nextToTest()

  const begin = (serial: string) => {
    setPage(0)
    session.start(serial)
  }
  const typed = (key: BenchKey) => {
    const step = stepSerialEntry(entryNow.current, { key, offered: next?.serial, nowMs: Date.now() })
    changeEntry(step.entry)
    if (step.start) begin(step.start)
  }
  const onVerdictKey = (key: BenchKey, serial: string) => {
    if (key.name === 'left' || key.name === 'right') setPage((now) => now + (key.name === 'right' ? 1 : -1))
    else if (key.name === 'space') begin(serial)
    else if (key.name === 'enter' || key.name === 'escape' || key.name === 'text') {
      changeEntry(emptyEntry)
      session.reset()
      if (key.name === 'text') typed(key)
    }
  }
  const { question } = session
  const onQuestionKey = ({ kind }: RunQuestion, key: BenchKey) => {
    if (key.name === 'enter' || key.name === 'space') session.answer('go')
    else if (kind === 'contact' && key.name === 'text' && key.text.toLowerCase() === 'm') session.answer('measure')
  }
  const onKey = (key: BenchKey) => {
    if (phase.kind === 'running') {
      if (key.name === 'escape') session.stop()
      else if (question) onQuestionKey(question, key)
    } else if (key.name === 'tab') props.onUnits()
    else if (phase.kind === 'verdict') onVerdictKey(key, phase.finished.recorded.unit.serial)
    else if (phase.kind === 'problem') {
      if (key.name === 'enter' || key.name === 'space') begin(phase.serial)
      else if (key.name === 'escape') session.reset()
    } else typed(key)
  }
  const letters = useLetterKeys({
    untouched: () => phase.kind !== 'running' && (phase.kind !== 'ready' || entryNow.current.typed === undefined),
    onQuit: props.onQuit,
    onHelp: props.onHelp,
    commands: {
      ...(failed && {
        s: () => props.onSuspects({ runId: failed.recorded.run.id, serial: failed.recorded.run.serial }),
      }),
      ...(passed && bench.product.testPlan.hard && { h: () => props.onHard(passed) }),
      ...(props.onGuide && { g: props.onGuide }),
      c: props.onRigCheck,
    },
    onKey,
  })
  useBenchKeys(letters, { active })

  const size = { columns, rows: rows - 1 }
  const typing = phase.kind === 'ready' && entry.typed !== undefined && !entry.accepted
  return (
    <Box flexDirection="column" height={rows}>
      <Box height={rows - 1} flexDirection="column" overflow="hidden">
        {phase.kind === 'ready' && (
          <ReadyView bench={bench} version={props.version} reference={reference} entry={entry} next={next} {...size} />
        )}
        {phase.kind === 'running' && (
          <RunningView
            bench={bench}
            reference={reference}
            serial={phase.serial}
            settings={phase.settings}
            question={question}
            {...size}
          />
        )}
        {phase.kind === 'verdict' && <VerdictPages bench={bench} finished={phase.finished} page={page} {...size} />}
        {phase.kind === 'problem' && <ProblemView title={`${phase.serial}: no verdict`} problem={phase.problem} />}
      </Box>
      <Footer
        keys={testFooter({
          typing,
          failed: failed !== undefined,
          ownRig: props.onGuide !== undefined,
          question,
          phase: phase.kind,
        })}
      />
    </Box>
  )
}
