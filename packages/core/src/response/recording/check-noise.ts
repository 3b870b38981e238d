import type { Finding } from '../../model/finding.ts'
import { formatDb, formatHz } from '../../model/format.ts'
import { mustBeCertain } from '../curve/curve-on-grid.ts'
import { recordingFinding } from './recording-finding.ts'
import type { RecordingView } from './recording-view.ts'

/**
 * `too-noisy`: a point within 40 dB of the curve's greatest gain is less certain than wanted. Deeper points are stop-band,
 * and no reason to refuse a recording.
 */
export function checkNoise({ measured, wantedUncertaintyDb, sweep }: RecordingView): Finding[] {
  const { curve, noise } = measured
  if (!curve) return []
  const counts = mustBeCertain(curve.gainDb)
  let worst = -1
  let over = 0
  curve.uncertaintyDb.forEach((u, i) => {
    const inBand = curve.frequencyHz[i] >= sweep.settings.fromHz && curve.frequencyHz[i] <= sweep.settings.toHz
    if (!counts[i] || !inBand || u <= wantedUncertaintyDb) return
    over++
    if (worst < 0 || u > curve.uncertaintyDb[worst]) worst = i
  })
  if (worst < 0) return []
  const share = Math.round((100 * over) / curve.frequencyHz.length)
  const ratio = noise ? `, signal-to-noise ${formatDb(noise.signalToNoiseDb, { digits: 0 })}` : ''
  return [
    recordingFinding({
      code: 'too-noisy',
      severity: 'refuse',
      message: `The recording is too noisy: at ${formatHz(curve.frequencyHz[worst])} the gain is only known within ${formatDb(curve.uncertaintyDb[worst], { digits: 2 })} (wanted ${formatDb(wantedUncertaintyDb, { digits: 2 })}; ${Math.max(1, share)} % of the curve is affected${ratio}).`,
    }),
  ]
}
