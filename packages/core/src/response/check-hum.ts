import type { Finding } from '../model/finding.ts'
import { formatDb, formatDbfs } from '../model/format.ts'
import { curveOnGrid } from './curve-on-grid.ts'
import { findHum, type Hum, humAmplitude } from './find-hum.ts'
import { silentSpans } from './noise.ts'
import { levelDbfs, recordingFinding } from './recording-finding.ts'
import type { RecordingView } from './recording-view.ts'

/** Hum under this level is on every recording, dBFS. */
const quietDbfs = -90
/** Longest stretch of silence that is read, s: hum does not change within it. */
const longestReadS = 0.6
/** Width of a grid point, as a share of its frequency: 1/24 octave. */
const pointWidth = 2 ** (1 / 48) - 2 ** (-1 / 48)

/**
 * `mains-hum`: components at 50 or 60 Hz and their multiples in the silences. A note while the curve stays within the
 * wanted uncertainty, else the recording is refused.
 */
export function checkHum(view: RecordingView): Finding[] {
  const { samples, sweep, alignment, wantedUncertaintyDb } = view
  if (!alignment) return []
  const spans = silentSpans(sweep, alignment.offsetSamples, samples.length)
  if (spans.length === 0) return []
  const longest = spans.reduce((a, b) => (b.endSample - b.startSample > a.endSample - a.startSample ? b : a))
  const startSample = Math.max(longest.startSample, longest.endSample - Math.round(longestReadS * sweep.rateHz))
  const hum = findHum({ samples, span: { startSample, endSample: longest.endSample }, rateHz: sweep.rateHz })
  const level = hum ? levelDbfs(humAmplitude(hum)) : -200
  if (!hum || level < quietDbfs) return []
  const disturbanceDb = largestDisturbanceDb(hum, view)
  const refused = disturbanceDb > wantedUncertaintyDb
  const effect = refused
    ? `it moves the curve by up to ${formatDb(disturbanceDb, { digits: 2 })}`
    : 'the curve is not disturbed'
  return [
    recordingFinding({
      code: 'mains-hum',
      severity: refused ? 'refuse' : 'note',
      message: `There is ${hum.mainsHz} Hz mains hum in the recording (${formatDbfs(level)}); ${effect}.`,
    }),
  ]
}

/**
 * By how much hum moves the gain at its own frequencies, root mean square over its unknown phase, dB. A sweep passes f
 * with an effective length of sqrt(L / f) seconds, and a grid point of width b gathers a steady tone for 1/b seconds, so
 * that the tone counts 1 / (b sqrt(L / f)) times its amplitude beside the response's. Source: own derivation from
 * stationary phase; checked against measured curves in the tests.
 */
function largestDisturbanceDb(hum: Hum, view: RecordingView): number {
  const { curve } = view.measured
  const { rateS, settings } = view.sweep
  if (!curve || rateS === null) return 0
  const gains = curveOnGrid({ curve, frequencyHz: hum.components.map((c) => c.frequencyHz) }).gainDb
  const greatest = curve.gainDb.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  let largest = 0
  hum.components.forEach(({ frequencyHz, amplitude }, i) => {
    // Outside the sweep, or deep in a stop-band, hum disturbs nothing that is judged.
    if (!Number.isFinite(gains[i]) || gains[i] < greatest - 40) return
    const responseAmplitude = 10 ** ((settings.levelDbfs + gains[i]) / 20)
    const gathered = 1 / (pointWidth * frequencyHz * Math.sqrt(rateS / frequencyHz))
    const share = (gathered * amplitude) / responseAmplitude / Math.SQRT2
    largest = Math.max(largest, 20 * Math.log10(1 + share))
  })
  return largest
}
