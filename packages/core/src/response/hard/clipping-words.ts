import { formatHz, formatVoltage } from '../../model/format.ts'
import type { HardPlan } from '../../model/hard-plan.ts'
import type { HardAtSupply } from '../../model/hard-signature.ts'
import { halvesWords } from './judge-tones.ts'
import { stepsByTone, toneClipping } from './tone-clipping.ts'

/** How a board clips at one supply, in one sentence. */
export function clippingWords(supply: HardAtSupply, hard: Pick<HardPlan, 'clipPercent'>): string {
  const head = `${supply.label} (${formatVoltage(supply.voltageV)})`
  const tones = stepsByTone(supply.steps).map(({ steps }) => toneClipping({ steps, clipPercent: hard.clipPercent }))
  if (tones.length === 0) return `${head}: no usable recording.`
  const clipping = tones.filter((tone) => tone.clipV !== null)
  if (clipping.length === 0) {
    const topV = Math.max(...supply.steps.map((step) => step.inputV))
    return `${head}: no tone clips up to ${formatVoltage(topV)}.`
  }
  const places = clipping.map(
    ({ toneHz, clipV, clipsBelowLadder }) =>
      `${formatHz(toneHz)} ${clipsBelowLadder ? 'below' : 'from'} ${formatVoltage(clipV!)}`,
  )
  // The tone that swings widest shows the supply's limits best.
  const widest = clipping.reduce((a, b) => (a.highV - a.lowV >= b.highV - b.lowV ? a : b))
  const swing = `output ${formatVoltage(widest.lowV)} to ${formatVoltage(widest.highV)}`
  const halves = widest.halvesDb === null ? 'neither half is held' : halvesWords(widest.halvesDb)
  return `${head}: clips at ${places.join(', ')}; ${swing}; ${halves}.`
}
