import {
  bandLimits,
  formatDb,
  type Product,
  type Reference,
  type ResponseCurve,
  type SettingJudgement,
} from '@boardwright/core'
import { Box, Text } from 'ink'
import { useMemo } from 'react'
import { colour } from '../look.ts'
import { plotCurves } from '../plot/curve-plot.ts'
import { PlotView } from './plot-view.tsx'

export interface SettingPanelProps {
  product: Product
  reference: Reference | undefined
  setting: string
  curve?: ResponseCurve | null
  judgement?: SettingJudgement
  columns: number
  rows: number
}

/** The tolerance band around the reference's curve, as levels and as deviations. */
function limitsFor({ product, reference, setting }: Pick<SettingPanelProps, 'product' | 'reference' | 'setting'>) {
  const ofReference = reference?.settings.find((one) => one.setting === setting)
  const band = product.testPlan.bands.find((one) => one.setting === setting)
  if (!ofReference || !band) return
  const { index, frequencyHz, upperDb, lowerDb } = bandLimits({ band, frequencyHz: ofReference.curve.frequencyHz })
  const around = (limits: number[]) => limits.map((limit, i) => ofReference.curve.gainDb[index[i]] + limit)
  return {
    curve: ofReference.curve,
    compare: band.compare,
    deviation: { frequencyHz, upperDb, lowerDb },
    level: { frequencyHz, upperDb: around(upperDb), lowerDb: around(lowerDb) },
  }
}

/** Deviation of a curve from the reference's; both stand on the same grid when measured alike. */
function deviationOf(curve: ResponseCurve, reference: ResponseCurve) {
  const gainAt = new Map(reference.frequencyHz.map((frequencyHz, i) => [frequencyHz.toFixed(3), reference.gainDb[i]]))
  const frequencyHz: number[] = []
  const valueDb: number[] = []
  for (const [i, at] of curve.frequencyHz.entries()) {
    const gainDb = gainAt.get(at.toFixed(3))
    if (gainDb === undefined) continue
    frequencyHz.push(at)
    valueDb.push(curve.gainDb[i] - gainDb)
  }
  return { frequencyHz, valueDb }
}

const stripRows = 6

/** One setting: its curve over reference and band, and below it the deviation from the reference on a finer scale. */
export function SettingPanel(props: SettingPanelProps) {
  const { product, reference, setting, curve, judgement, columns, rows } = props
  const label = product.settings.find((one) => one.name === setting)?.label ?? setting
  const withStrip = rows >= 14
  const plots = useMemo(() => {
    const limits = limitsFor({ product, reference, setting })
    const level = plotCurves({
      columns,
      rows: rows - 1 - (withStrip ? stripRows : 0),
      curve: curve ? { frequencyHz: curve.frequencyHz, valueDb: curve.gainDb } : undefined,
      reference: limits && { frequencyHz: limits.curve.frequencyHz, valueDb: limits.curve.gainDb },
      band: limits?.level,
      noFrequencyLabels: withStrip,
    })
    if (!withStrip) return [level]
    const frequencyHz = limits?.deviation.frequencyHz ?? []
    const measured = curve && limits ? deviationOf(curve, limits.curve) : undefined
    const judged = judgement && { frequencyHz: judgement.frequencyHz, valueDb: judgement.deviationDb }
    const deviation = plotCurves({
      columns,
      rows: stripRows,
      curve: judged ?? measured,
      reference: { frequencyHz, valueDb: frequencyHz.map(() => 0) },
      band: limits?.deviation,
      aroundZeroDb: 1.6 * Math.max(1, ...(limits?.deviation.upperDb ?? [])),
    })
    return [level, deviation]
  }, [product, reference, setting, curve, judgement, columns, rows, withStrip])

  const difference = judgement ? `, level ${formatDb(judgement.levelDifferenceDb, { digits: 2, signed: true })}` : ''
  return (
    <Box flexDirection="column" width={columns} height={rows} overflow="hidden">
      <Text wrap="truncate">
        <Text bold>{` ${setting}`}</Text>
        <Text>{`${columns < 76 ? '' : `  ${label}`}${difference}  `}</Text>
        <Text color={colour.quiet}>⠤⠤ unit ⠤ ⠤ reference ⢕⢕ limits</Text>
      </Text>
      {plots.map((lines, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: first the level, then the deviation
        <PlotView key={i} lines={lines} />
      ))}
    </Box>
  )
}
