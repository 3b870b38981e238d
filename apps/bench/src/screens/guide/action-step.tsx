import type { RigSettings } from '@boardwright/core'
import { Text } from 'ink'
import type { GuideWork } from '../../hooks/use-rig-guide.ts'
import { measureCorrection, measureHum, measureNoise } from '../../session/setup/steps.ts'
import { headroomWords } from '../../text/headroom-words.ts'
import { rigLines } from '../../text/rig-words.ts'
import type { GuideStepProps } from './guide-step-props.ts'
import { Paragraph } from './paragraph.tsx'

interface Action {
  instruction: string
  sound: string
  work: GuideWork
  /** The line of the settings that it fills. */
  label: string
}

const actions: Partial<Record<GuideStepProps['step'], Action>> = {
  correction: {
    instruction:
      'Plug the output into the input in place of the board: a cable, no board. A sweep plays; what the rig itself does to it is taken out of every curve from then on. Measure the reference board again afterwards.',
    sound: 'playing the sweep',
    work: async (setUp, tell) => {
      await measureCorrection(setUp, ({ activity, fraction }) => tell(`${activity} (${Math.round(100 * fraction)} %)`))
    },
    label: 'Loop-back correction',
  },
  noise: {
    instruction: 'Leave the cable in. The rig listens to silence and then to a tone at the level limit.',
    sound: 'listening to the silence, then to a tone',
    work: async (setUp) => {
      await measureNoise(setUp)
    },
    label: 'Input noise',
  },
  hum: {
    instruction:
      'Leave the cable in, or put a board with its battery in: the rig listens for mains hum for four seconds. Hum is taken out of a measurement while it is steady; less is better all the same. Usual cures: a computer on its battery, other cables, distance from transformers.',
    sound: 'listening for mains hum',
    work: async (setUp) => {
      await measureHum(setUp)
    },
    label: 'Mains hum',
  },
}

/** A step in which the rig measures and nothing is typed. */
export function ActionStep({ step, guide, bench, settings, columns, keys }: GuideStepProps) {
  const action = actions[step]
  keys.current = (key) => {
    if (key.name === 'enter' && action && settings) guide.work(action.work, { sound: action.sound })
  }
  if (!action) return null
  if (!settings) return <Paragraph text="Choose the devices first: Shift-Tab goes back." columns={columns} bold />
  const line = rigLines(settings).find(({ label }) => label === action.label)
  const room = step === 'noise' ? roomWords(bench.workshop.rig, settings, bench.product.id) : undefined
  return (
    <>
      <Paragraph text={action.instruction} columns={columns} />
      <Text bold inverse>
        {' › play and measure '}
      </Text>
      <Text> </Text>
      <Text wrap="wrap">{`${line?.done ? '✓' : '○'} ${action.label}: ${line?.value}`}</Text>
      {room && <Text wrap="wrap">{room}</Text>}
    </>
  )
}

function roomWords(rig: GuideStepProps['bench']['workshop']['rig'], settings: RigSettings, productId: string) {
  return settings.noise ? headroomWords(rig.headroom({ name: settings.name, productId })) : undefined
}
