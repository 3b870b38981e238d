import { type Finding, isRefused } from '../../model/finding.ts'
import { sweepPhase } from '../sweep/sweep-phase.ts'
import { checkBurst } from './check-burst.ts'
import { checkChannels, checkLoopBack } from './check-channels.ts'
import { checkClipping } from './check-clipping.ts'
import { checkClock } from './check-clock.ts'
import { checkDamage } from './check-damage.ts'
import { checkDcOffset } from './check-dc.ts'
import { checkFound, notFound } from './check-found.ts'
import { checkHum } from './check-hum.ts'
import { checkCutOff, checkTooShort } from './check-length.ts'
import { checkNoise } from './check-noise.ts'
import { checkPolarity } from './check-polarity.ts'
import { checkRate } from './check-rate.ts'
import { checkSilence } from './check-silence.ts'
import { checkSlip } from './check-slip.ts'
import { type PhaseTrack, phaseTrack } from './phase-track.ts'
import type { RecordingView } from './recording-view.ts'
import { recordingStep } from './sample-step.ts'

/**
 * Looks at a recording for everything that would make a verdict from it worthless, and for what is worth knowing.
 * What makes all further looking meaningless comes first and alone: a wrong rate, a recording shorter than the sweep,
 * silence, a silent loop-back, no sweep in it, a sweep cut off. Otherwise every finding is told, the worst kind of damage first.
 */
export function checkRecording(view: RecordingView): Finding[] {
  // The sweep is looked for in the loop-back: without one it would seem to be nowhere.
  for (const check of [checkRate, checkTooShort, checkSilence, checkLoopBack]) {
    const findings = check(view)
    if (findings.length > 0) return findings
  }
  // What follows the sweep is looked at without the hum, as the curve is; what the samples themselves are like, with it.
  const clean = { ...view, samples: view.measured.withoutHum ?? view.samples }
  const tracks = trackBodies(clean)
  const absent = checkFound(clean, tracks)
  if (absent.length > 0) return absent
  const cut = checkCutOff(view)
  if (cut.length > 0) return cut
  if (view.measured.curve === null) return [notFound(view)]
  const clipping = checkClipping(view, tracks)
  const hum = checkHum(view)
  // Cut tops are runs of equal samples, and repeat themselves.
  const step = recordingStep(view)
  const damage = clipping.length > 0 ? [] : checkDamage(view, step)
  const slip = checkSlip(clean, tracks)
  // Lost samples, cut tops and an unsteady hum do not follow the sweep either, and have said so already.
  const known = clipping.length + damage.length + slip.length > 0 || isRefused(hum)
  return [
    ...checkChannels(view),
    ...clipping,
    ...damage,
    ...slip,
    ...(known ? [] : checkBurst(clean, tracks, step)),
    // Hum that cannot be taken out makes the curve uncertain too: one finding is enough.
    ...(isRefused(hum) ? [] : checkNoise(view)),
    ...hum,
    ...checkDcOffset(view),
    ...checkPolarity(view),
    ...checkClock(view),
  ]
}

/** How the recording follows each sweep; none for a stimulus that is no exponential sweep. */
function trackBodies({ sweep, samples, alignment }: RecordingView): PhaseTrack[] {
  const phase = sweepPhase(sweep)
  if (!phase || !alignment) return []
  return sweep.bodies.map((body) =>
    phaseTrack({ phase, samples, bodyStart: body.startSample + alignment.offsetSamples }),
  )
}
