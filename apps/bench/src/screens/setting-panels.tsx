import type { Reference, ResponseCurve, SettingJudgement } from '@boardwright/core'
import { Box, Text } from 'ink'
import type { Bench } from '../bench.ts'
import { SettingPanel } from './setting-panel.tsx'

export interface SettingPanelsProps {
  bench: Bench
  reference: Reference | undefined
  /** Index of the setting to show where there is room for one only. */
  shown: number
  curves?: Record<string, ResponseCurve | null | undefined>
  judgements?: readonly SettingJudgement[]
  columns: number
  rows: number
}

// Below this a plot has too few columns to read a frequency from.
const narrowestPanel = 56

/** The curves of the plan's settings: side by side where they fit, else one at a time. */
export function SettingPanels(props: SettingPanelsProps) {
  const { bench, reference, curves, judgements, columns, rows } = props
  const { settings } = bench.product.testPlan
  if (!reference)
    return (
      <Box flexDirection="column" paddingX={1}>
        <Text bold>✗ There is no reference for this product yet, so nothing can be judged.</Text>
        <Text>Measure the reference board first, then open the bench again:</Text>
        <Text>boardwright reference add --setting max=FILE.wav --setting min=FILE.wav</Text>
      </Box>
    )
  const fit = Math.min(settings.length, Math.max(1, Math.floor(columns / narrowestPanel)))
  const first = Math.min(props.shown, settings.length - fit)
  return (
    <Box>
      {settings.slice(first, first + fit).map((setting) => (
        <SettingPanel
          key={setting}
          product={bench.product}
          reference={reference}
          setting={setting}
          curve={curves?.[setting]}
          judgement={judgements?.find((one) => one.setting === setting)}
          columns={Math.floor(columns / fit)}
          rows={rows}
        />
      ))}
    </Box>
  )
}
