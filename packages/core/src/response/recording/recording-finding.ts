import type { Finding } from '../../model/finding.ts'

/** What to do about each finding, where the check has nothing more exact to say. */
const remedies = {
  'block-damaged':
    'Close other programs, choose a larger buffer in the audio settings, then record again; see that no cable is loose.',
  'block-slipped':
    'Close other programs, choose a larger buffer in the audio settings, and play and record on one interface; then record again.',
  'channel-swapped': 'Swap the two inputs, or name the other channel as the loop-back, then record again.',
  clipped: 'Turn down the input level or the sweep, then record again.',
  'clock-drift':
    'Nothing need be done. Playing and recording on one interface, or with the loop-back, keeps one clock.',
  'cut-off': 'Start the recorder first, play the whole sweep, and stop a second after it has ended.',
  'dc-offset': 'Check the coupling capacitor at the output and the input of the interface.',
  'loop-back-missing': 'Plug the loop-back cable in, or measure without a loop-back.',
  'mains-hum': 'Close the lid of the rig, connect its earth, and keep power supplies and transformers away.',
  'polarity-turned': 'If this is not meant, check the leads of the rig. The judge compares with the reference.',
  silent: 'Check the battery and the switch of the board, the pogo pins, and the input of the interface.',
  'sweep-not-found': 'Check that this recording is of this sweep file, at its speed, and that the board is connected.',
  'too-noisy': 'Play the sweep louder, longer or more often, and close the lid of the rig.',
  'too-short': 'Record the whole sweep, from before it starts to a second after it has ended.',
  'wrong-rate': 'Set the interface and the recorder to the rate of the sweep, or make a sweep for this rate.',
} as const satisfies Record<Finding['code'], string>

/**
 * A finding in the house's form: the sentence with its numbers, and the remedy of its code unless another is given.
 * @param options.atS where in the recording, s
 */
export function recordingFinding(options: {
  code: Finding['code']
  severity: Finding['severity']
  message: string
  remedy?: string
  atS?: number
}): Finding {
  const { code, severity, message, atS } = options
  return {
    code,
    severity,
    message,
    remedy: options.remedy ?? remedies[code],
    ...(atS === undefined ? {} : { atS }),
  }
}

/** Level of an amplitude relative to full scale, dB; -200 for nothing at all. */
export const levelDbfs = (amplitude: number): number => Math.max(-200, 20 * Math.log10(Math.max(amplitude, 1e-10)))

/** A place in the recording as a maker reads it off an editor: "at 2.35 s". */
export const placeWords = (atS: number): string => `at ${atS.toFixed(2)} s`
