import { playbackCaution } from '@boardwright/core/audio'
import { Box, Text } from 'ink'
import { useRef } from 'react'
import type { Bench } from '../../bench.ts'
import type { BenchKey } from '../../hooks/use-bench-keys.ts'
import { useBenchKeys } from '../../hooks/use-bench-keys.ts'
import { useRigGuide } from '../../hooks/use-rig-guide.ts'
import { type GuideStepId, guideSteps } from '../../session/setup/guide-step.ts'
import { wrapWords } from '../../text/wrap-words.ts'
import { Footer } from '../footer.tsx'
import { ActionStep } from './action-step.tsx'
import { DevicesStep } from './devices-step.tsx'
import type { GuideStepProps } from './guide-step-props.ts'
import { LevelsStep } from './levels-step.tsx'
import { LimitStep } from './limit-step.tsx'
import { ResistancesStep } from './resistances-step.tsx'
import { SummaryStep } from './summary-step.tsx'

const bodies: Record<GuideStepId, (props: GuideStepProps) => React.ReactNode> = {
  devices: DevicesStep,
  limit: LimitStep,
  levels: LevelsStep,
  correction: ActionStep,
  noise: ActionStep,
  hum: ActionStep,
  resistances: ResistancesStep,
  summary: SummaryStep,
}

export interface GuideScreenProps {
  bench: Bench
  columns: number
  rows: number
  active: boolean
  onBack: () => void
}

/** The set-up guide of the rig: eight steps, forward and back by one key; each is stored when it is finished. */
export function GuideScreen({ bench, columns, rows, active, onBack }: GuideScreenProps) {
  const guide = useRigGuide(bench)
  const { id, title } = guideSteps[guide.step]
  const settings = bench.rig.settings
  const busy = guide.activity !== undefined || guide.cautioned
  const keys = useRef<(key: BenchKey) => void>(() => {})
  keys.current = () => {}
  const onKey = (key: BenchKey) => {
    if (guide.cautioned && (key.name === 'enter' || key.name === 'space')) guide.confirm()
    else if (busy) key.name === 'escape' && guide.stop()
    else if (key.name === 'tab') guide.go(1)
    else if (key.name === 'back-tab') guide.go(-1)
    else if (key.name === 'escape') onBack()
    else keys.current(key)
  }
  useBenchKeys(onKey, { active })
  const Body = bodies[id]
  return (
    <Box flexDirection="column" height={rows}>
      <Text wrap="truncate">
        <Text bold inverse>{` ${guide.step + 1} of ${guideSteps.length}  ${title} `}</Text>
        {settings ? `  version ${settings.version}` : '  nothing is stored yet'}
      </Text>
      <Box flexDirection="column" height={rows - 2} overflow="hidden" paddingX={1} paddingTop={1}>
        {guide.cautioned && <Text bold>{wrapWords(`⚠ ${playbackCaution}`, columns - 3).join('\n')}</Text>}
        {/* It stays mounted while the caution is read: what was typed survives. */}
        <Box flexDirection="column" display={guide.cautioned ? 'none' : 'flex'}>
          <Body key={id} step={id} bench={bench} guide={guide} settings={settings} columns={columns - 2} keys={keys} />
        </Box>
        {guide.activity !== undefined && <Text bold>{`● ${guide.activity}`}</Text>}
        {guide.problem && !busy && (
          <Box flexDirection="column" marginTop={1}>
            <Text bold>{wrapWords(`✗ ${guide.problem.message}`, columns - 3).join('\n')}</Text>
            <Text>{wrapWords(guide.problem.remedy, columns - 3).join('\n')}</Text>
          </Box>
        )}
      </Box>
      <Footer keys={footerOf(guide.cautioned, guide.activity !== undefined)} />
    </Box>
  )
}

function footerOf(cautioned: boolean, busy: boolean) {
  if (cautioned)
    return [
      ['Enter', 'go on'],
      ['Esc', 'no'],
    ] as const
  if (busy) return [['Esc', 'stop: silence at once']] as const
  return [
    ['↑ ↓ ← →', 'choose'],
    ['Enter', 'do it'],
    ['Tab', 'next'],
    ['Shift-Tab', 'back'],
    ['Esc', 'leave'],
  ] as const
}
