import type { Finding } from '../../model/finding.ts'
import { formatDuration } from '../../model/format.ts'
import { recordingFinding } from './recording-finding.ts'
import type { RecordingView } from './recording-view.ts'

/** `too-short`: the recording is shorter than the sweeps themselves, so they cannot be in it whole. */
export function checkTooShort({ sweep, samples }: RecordingView): Finding[] {
  const needed = sweep.bodies[sweep.bodies.length - 1].endSample - sweep.bodies[0].startSample
  if (samples.length >= needed) return []
  const what = sweep.bodies.length > 1 ? `the ${sweep.bodies.length} sweeps last` : 'the sweep lasts'
  return [
    recordingFinding({
      code: 'too-short',
      severity: 'refuse',
      message: `The recording lasts ${formatDuration(samples.length / sweep.rateHz)}, but ${what} ${formatDuration(needed / sweep.rateHz)}.`,
    }),
  ]
}

/** `cut-off`: a sweep begins before the recording, or ends after it. */
export function checkCutOff({ sweep, recording, samples, alignment }: RecordingView): Finding[] {
  if (!alignment) return []
  const start = sweep.bodies[0].startSample + alignment.offsetSamples
  const end = sweep.bodies[sweep.bodies.length - 1].endSample + alignment.offsetSamples
  const seconds = (count: number) => formatDuration(count / sweep.rateHz)
  const refuse = (message: string, atS: number) =>
    recordingFinding({ code: 'cut-off', severity: 'refuse', message, atS })
  const findings: Finding[] = []
  if (start < 0) findings.push(refuse(`The recording begins ${seconds(-start)} after the sweep did.`, 0))
  if (end > samples.length) {
    const why = recording.truncated ? ' (the file itself is cut short)' : ''
    findings.push(
      refuse(
        `The recording ends ${seconds(end - samples.length)} before the sweep does${why}.`,
        samples.length / sweep.rateHz,
      ),
    )
  }
  return findings
}
