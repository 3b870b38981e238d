import { ProblemError } from '../../api/problem-error.ts'

/** What only a browser can meet when it plays and records, and what to do; the other codes are those of core's catalogue. */
const remedies = {
  'device-busy': 'Close other programs that use the sound interface, or plug it in again; then record again.',
  'device-changed': 'Plug it in again, look that it is chosen above, then record this setting again. Nothing is lost.',
  'device-missing': 'Plug the sound interface in, or choose another device above.',
  'device-muted': 'Switch the mute off in the sound settings of the computer, then record again.',
  'device-rate':
    'Set both devices to the rate of the test plan in the sound settings of the computer, load this page again, then record.',
  'microphone-refused':
    'Allow the microphone for this address (the sign beside it in the browser), then press the button again.',
  'page-hidden':
    'Keep this page in front while it plays, so that the stop button is in reach; then record this setting again. Nothing is lost.',
  'rig-failed': 'Check the sound interface and its cables, then record this setting again. Nothing is lost.',
  'sound-not-supported':
    'Use a current browser on the workshop computer, at the address that boardwright serve prints.',
  'sound-processed': 'Switch sound effects off in the settings of the system and the browser, or choose another input.',
  'sound-suspended':
    'Wake the computer or bring this page to the front, then record this setting again. Nothing is lost.',
} as const

export type SoundTroubleCode = keyof typeof remedies

/** A trouble with the sound as one sentence and what to do. */
export const soundTrouble = (code: SoundTroubleCode, sentence: string, options?: ErrorOptions): ProblemError =>
  new ProblemError({ code, sentence, remedy: remedies[code] }, options)

const nameOf = (error: unknown): string => (error instanceof DOMException ? error.name : '')

/**
 * Why an input could not be opened.
 * Source of the names: W3C Media Capture and Streams, getUserMedia.
 * @param input its name as the maker knows it
 */
export function fromInputError(error: unknown, input: string): ProblemError {
  const cause = { cause: error }
  switch (nameOf(error)) {
    case 'NotAllowedError':
    case 'SecurityError':
      return soundTrouble('microphone-refused', 'The browser does not let this page record.', cause)
    case 'NotFoundError':
      return soundTrouble('device-missing', 'The computer has no input that the browser can record from.', cause)
    case 'OverconstrainedError':
      return soundTrouble('device-missing', `The input "${input}" is not there.`, cause)
    case 'NotReadableError':
    case 'AbortError':
      return soundTrouble('device-busy', `The input "${input}" cannot be opened.`, cause)
    default:
      return soundTrouble('rig-failed', `The input "${input}" cannot be opened: ${wordsOf(error)}.`, cause)
  }
}

/** Why an output could not be opened. */
export function fromOutputError(error: unknown, output: string): ProblemError {
  const cause = { cause: error }
  if (nameOf(error) === 'NotFoundError')
    return soundTrouble('device-missing', `The output "${output}" is not there.`, cause)
  return soundTrouble('rig-failed', `The output "${output}" cannot be opened: ${wordsOf(error)}.`, cause)
}

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message.replace(/\.$/, '') : String(error))
