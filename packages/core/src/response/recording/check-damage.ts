import type { Finding } from '../../model/finding.ts'
import { findFrozenRun } from './find-frozen.ts'
import { findRepeatedBlock } from './find-repeated.ts'
import { placeWords, recordingFinding } from './recording-finding.ts'
import { soundSpans } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'
import { evidencePerSample, silenceNoise } from './silence-noise.ts'

/**
 * `block-damaged`: a block of equal samples, or a block that stands there twice, within a sweep or a marker, from its
 * first sample to its last: an emptied block in the run-in of a sweep spreads over the whole curve as well.
 * @param step the step of the samples, full scale = 1
 */
export function checkDamage(view: RecordingView, step: number): Finding[] {
  const evidence = evidencePerSample(silenceNoise(view), step)
  const sounds = soundSpans(view)
  if (sounds.length === 0) return []
  // With noise in them, the gaps tell as much as the sounds; digital silence is made of equal samples.
  const whole = { startSample: sounds[0].startSample, endSample: sounds[sounds.length - 1].endSample }
  for (const span of evidence > 0 ? [whole] : sounds) {
    const frozen = findFrozenRun({ view, span, step, evidence })
    if (frozen) {
      const what = frozen.value === 0 ? 'are zero' : 'have one and the same value'
      return [damage(view, frozen.startSample, `${frozen.length} samples ${what}`)]
    }
    const repeated = findRepeatedBlock({ view, span, step, evidence })
    if (repeated) return [damage(view, repeated.startSample, `${repeated.length} samples are a copy of earlier ones`)]
  }
  return []
}

function damage(view: RecordingView, atSample: number, what: string): Finding {
  const atS = atSample / view.sweep.rateHz
  return recordingFinding({
    code: 'block-damaged',
    severity: 'refuse',
    message: `The recording is damaged ${placeWords(atS)}: ${what}.`,
    atS,
  })
}
