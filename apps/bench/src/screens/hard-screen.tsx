import { formatVoltage, type HardRun, type Unit } from '@boardwright/core'
import { playbackCaution } from '@boardwright/core/audio'
import { Box, Text } from 'ink'
import type { Bench } from '../bench.ts'
import { type BenchKey, useBenchKeys } from '../hooks/use-bench-keys.ts'
import { type HardPhase, useHard } from '../hooks/use-hard.ts'
import { useLetterKeys } from '../hooks/use-letter-keys.ts'
import { verdictLook } from '../look.ts'
import type { HardQuestion } from '../session/press-hard.ts'
import { wrapWords } from '../text/wrap-words.ts'
import { Footer } from './footer.tsx'
import { ProblemView } from './problem-view.tsx'
import { ProgressLines } from './progress-line.tsx'

export interface HardScreenProps {
  bench: Bench
  serial: string
  columns: number
  rows: number
  active: boolean
  onBack: () => void
  onHelp: () => void
  onQuit: () => void
}

const footers = {
  running: [['Esc', 'stop: nothing is stored']],
  question: [
    ['Enter', 'done, go on'],
    ['Esc', 'stop'],
  ],
  done: [
    ['Space', 'again'],
    ['Enter', 'back'],
  ],
  problem: [
    ['Space', 'try again'],
    ['Esc', 'back'],
  ],
  stopped: [
    ['Space', 'press it hard'],
    ['Esc', 'back'],
  ],
} as const

/** A board is pressed hard as soon as this screen is there; then its verdict, and how it clips, in words. */
export function HardScreen({ bench, serial, columns, rows, active, onBack, onHelp, onQuit }: HardScreenProps) {
  const hard = useHard(bench, serial)
  const { phase } = hard
  const onKey = (key: BenchKey) => {
    const goes = key.name === 'enter' || key.name === 'space'
    if (phase.kind === 'running') {
      if (key.name === 'escape') hard.stop()
      else if (goes) hard.answer()
    } else if (key.name === 'space' || (phase.kind !== 'done' && goes)) hard.start()
    else if (key.name === 'enter' || key.name === 'escape' || key.name === 'tab') onBack()
  }
  const letters = useLetterKeys({ untouched: () => phase.kind !== 'running', onQuit, onHelp, onKey })
  useBenchKeys(letters, { active })
  const footer = phase.kind === 'running' && phase.question ? footers.question : footers[phase.kind]
  return (
    <Box flexDirection="column" height={rows}>
      <Box height={rows - 1} flexDirection="column" overflow="hidden">
        {phase.kind === 'running' && <Running phase={phase} serial={serial} bench={bench} columns={columns} />}
        {phase.kind === 'done' && <HardVerdict run={phase.run} unit={phase.unit} columns={columns} />}
        {phase.kind === 'problem' && <ProblemView title={`${serial}: no verdict`} problem={phase.problem} />}
        {phase.kind === 'stopped' && <Text>{` ${serial}: stopped, nothing is stored.`}</Text>}
      </Box>
      <Footer keys={footer} />
    </Box>
  )
}

const askedFor = (question: HardQuestion, bench: Bench): string => {
  if (question.kind === 'caution') return `${playbackCaution} This is the loudest that the rig plays.`
  if (question.kind === 'supply')
    return `Set the supply of the board to ${formatVoltage(question.supply.voltageV)}: ${question.supply.label.toLowerCase()}.`
  const label = bench.product.settings.find(({ name }) => name === question.setting)?.label
  return `Set the board: ${label ?? question.setting}.`
}

function Running(props: {
  phase: Extract<HardPhase, { kind: 'running' }>
  serial: string
  bench: Bench
  columns: number
}) {
  const { phase, serial, bench, columns } = props
  const lines = phase.parts.map((one) => ({
    ...one,
    setting: `${one.supply.label}, ${one.part === 'sweep' ? 'loud sweep' : 'ladder of tones'}`,
  }))
  return (
    <Box flexDirection="column">
      <Text wrap="truncate">
        <Text> Unit </Text>
        <Text bold inverse>{` ${serial} `}</Text>
        <Text> pressed hard</Text>
      </Text>
      {lines.length > 0 && <ProgressLines settings={lines} columns={columns} />}
      {phase.question && (
        <Box marginTop={1} paddingX={1}>
          <Text bold inverse>
            {wrapWords(askedFor(phase.question, bench), columns - 3).join('\n')}
          </Text>
        </Box>
      )}
    </Box>
  )
}

function HardVerdict({ run, unit, columns }: { run: HardRun; unit: Unit; columns: number }) {
  const look = verdictLook[run.verdict]
  const sentence = (text: string) => wrapWords(text, columns - 5).join('\n')
  return (
    <Box flexDirection="column">
      <Text bold inverse color={look.colour} wrap="truncate">
        {` ${look.sign} ${look.word}  ${run.serial} pressed hard; it is ${unit.state} `.padEnd(columns - 1, ' ')}
      </Text>
      {run.judgement.reasons.slice(0, 6).map((reason) => (
        <Box key={reason.message} paddingX={1} flexShrink={0}>
          <Box width={2} flexShrink={0}>
            <Text bold>{verdictLook[reason.verdict].sign}</Text>
          </Box>
          <Text>{sentence(reason.message)}</Text>
        </Box>
      ))}
      <Text> </Text>
      {run.judgement.character.map((text) => (
        <Box key={text} paddingX={1} flexShrink={0}>
          <Text>{sentence(text)}</Text>
        </Box>
      ))}
    </Box>
  )
}
