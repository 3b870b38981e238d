/**
 * The one catalogue of errors a user can meet. Clients switch on `code`; the sentence says what is wrong, the remedy
 * says what to do. `status` is the HTTP status of the problem document (RFC 9457); `exit` the exit code of a command.
 */
export const errorCatalogue = {
  'bad-argument': { status: 400, remedy: 'Correct the value and try again; --help lists what is allowed.' },
  'bad-circuit': { status: 422, remedy: 'Mend the named element in the product file, then load it again.' },
  'bad-product': { status: 422, remedy: 'Mend the named path in the product file, then load it again.' },
  'bad-quantity': { status: 400, remedy: 'Write a value with its unit, such as "4.7 nF" or "4n7".' },
  'bad-request': {
    status: 400,
    remedy: 'Correct the named part of the request; /api/openapi.json describes every route.',
  },
  'bad-serial': { status: 400, remedy: 'Scan the label again, or type the serial number as printed.' },
  'column-missing': {
    status: 400,
    remedy: 'Say which column it is: --column part=HEADING, once for each column that is not found by itself.',
  },
  'contact-problem': {
    status: 409,
    remedy: 'Mend the contact and test again, or measure all the same.',
  },
  'correction-differs': {
    status: 409,
    remedy: 'Measure the reference board again with the rig as it is now, then test.',
  },
  'device-changed': {
    status: 409,
    remedy: 'Leave the sound settings alone while the rig works, set them back, then test again.',
  },
  'device-format': {
    status: 409,
    remedy: 'Set the device to 24 bits or more, or let the settings of the rig allow 16 bits.',
  },
  'device-missing': { status: 404, remedy: 'Plug the sound interface in, or choose another device for the rig.' },
  'device-muted': {
    status: 409,
    remedy: 'Switch the mute off in the sound settings of the computer, then test again.',
  },
  'device-rate': {
    status: 409,
    remedy: 'Set the device, the rig and the sweep to one sample rate; a converted rate would spoil the curve.',
  },
  'device-volume': {
    status: 409,
    remedy: 'Set the volume of the device to 100 % in the sound settings; the level is set by the rig alone.',
  },
  'disk-full': { status: 507, remedy: 'Free some space on the disk and try again; nothing was half-written.' },
  'file-busy': { status: 503, remedy: 'Another program is writing to the workshop file; wait a moment and try again.' },
  'file-damaged': { status: 500, remedy: 'Stop, keep this file, and go back to the latest backup.' },
  'file-newer': { status: 409, remedy: 'Update Boardwright: a newer version has written this workshop file.' },
  'file-not-readable': { status: 400, remedy: 'Check the path and the permissions of the file.' },
  'file-not-writable': { status: 400, remedy: 'Check the folder, its permissions and the free space.' },
  'foreign-origin': {
    status: 403,
    remedy: 'Use the desk at the address that boardwright serve prints; other web pages may not change the workshop.',
  },
  'gauge-study-open': {
    status: 409,
    remedy: 'Go on with the study (boardwright gauge run), or give it up (boardwright gauge abandon).',
  },
  'host-not-allowed': { status: 421, remedy: 'Open the address that boardwright serve prints, on this computer.' },
  internal: {
    status: 500,
    remedy: 'This is a bug in Boardwright. Report it with what you did and the lines that the server printed.',
  },
  'level-too-high': {
    status: 422,
    remedy: 'Lower the level of the sweep, or raise the limit of the rig when nothing that is connected can be harmed.',
  },
  'lot-exists': { status: 409, remedy: 'Give the new lot another name; what came before is counted in its own lot.' },
  'lot-not-usable': {
    status: 409,
    remedy: 'Take a lot that is accepted and holds the right part; boardwright stock list --lots shows them.',
  },
  'method-not-allowed': { status: 405, remedy: 'Use one of the methods named in the Allow header.' },
  'no-hard-plan': {
    status: 409,
    remedy:
      'Add "hard" to the test plan in the product file, with a new revision, and load it with: boardwright product add',
  },
  'no-hard-reference': {
    status: 409,
    remedy: 'Press the reference board first: boardwright hard --reference',
  },
  'no-reference': {
    status: 409,
    remedy:
      'Measure the reference board first: boardwright reference add --setting max=FILE.wav --setting min=FILE.wav',
  },
  'no-rig': {
    status: 409,
    remedy: 'Choose the devices of the rig: boardwright rig devices lists them, boardwright rig set takes them.',
  },
  'no-sound-system': {
    status: 502,
    remedy:
      'Install one: on Debian the packages pulseaudio-utils, pipewire-bin or alsa-utils, elsewhere sox; then test again.',
  },
  'not-a-wave-file': { status: 415, remedy: 'Export the recording again as an uncompressed WAV file.' },
  'not-a-workshop': { status: 400, remedy: 'Name a workshop file made by Boardwright, or a new path to make one.' },
  'not-diagnosable': {
    status: 409,
    remedy: 'Test the unit again with good recordings, then ask for the suspects.',
  },
  'not-found': { status: 404, remedy: 'Check the name or number; the lists show what is there.' },
  'part-unknown': {
    status: 422,
    remedy: 'Name the part as it stands on the parts list, such as C4; boardwright product show lists them.',
  },
  'parts-list-missing': {
    status: 409,
    remedy: 'Read the parts list in, as a new revision: boardwright product parts FILE.csv --save REVISION',
  },
  'port-in-use': { status: 409, remedy: 'Stop the program that uses this port, or choose another with --port.' },
  'recording-refused': { status: 422, remedy: 'Mend what the sentence names and record this setting again.' },
  'recording-twice': { status: 400, remedy: 'Name the file that was recorded at each setting, once.' },
  'reference-not-repeatable': {
    status: 422,
    remedy: 'Check the knobs and the contacts of the rig, then measure the reference board at that setting again.',
  },
  'revision-frozen': {
    status: 409,
    remedy: 'Give the changed product a new revision; units keep the one they were built to.',
  },
  'rig-drifted': {
    status: 409,
    remedy:
      'Mend the rig (level, cables, pins), measure the reference board again (boardwright rig-check run), then test.',
  },
  'rig-failed': { status: 502, remedy: 'Check the rig and its cables, then test again.' },
  'serials-used-up': {
    status: 409,
    remedy: 'Give the product a new revision with a serial pattern that has more digits.',
  },
  'server-closing': { status: 503, remedy: 'Start the server again, then repeat the request.' },
  'setting-missing': { status: 400, remedy: 'Give a recording for every setting of the test plan.' },
  'setting-unknown': { status: 400, remedy: 'Use the names of the settings in the test plan.' },
  'supply-missing': { status: 400, remedy: 'Give one visit for every supply that the test plan names.' },
  stopped: { status: 409, remedy: 'Start it again when you are ready.' },
  'step-not-possible': {
    status: 409,
    remedy: 'Look at the build: boardwright build show NUMBER lists each step and unit.',
  },
  'stock-short': {
    status: 409,
    remedy: 'Start fewer units, receive more parts, or count again: boardwright build plan shows what is short.',
  },
  'sweep-mismatch': { status: 400, remedy: 'Name the sweep file that was played for these recordings with --sweep.' },
  'too-few-units': { status: 409, remedy: 'Test more units first, or make the band from the tolerances of the parts.' },
  'too-large': { status: 413, remedy: 'Send a shorter recording.' },
  'unit-exists': { status: 409, remedy: 'Scan the label again, or open the unit that has this serial number.' },
  'unit-not-reworkable': {
    status: 409,
    remedy: 'Look at the state of the unit: only a unit in the workshop that is not promised can be reworked.',
  },
  'unit-not-testable': {
    status: 409,
    remedy: 'Look at the state of the unit: only a unit in the workshop can be tested.',
  },
  'unsupported-media-type': { status: 415, remedy: 'Send the body in the format that /api/openapi.json names.' },
} as const satisfies Record<string, { status: number; remedy: string }>

export type ErrorCode = keyof typeof errorCatalogue

/** An error that a user can cause or mend. Anything else that is thrown is a bug and says so. */
export class BoardwrightError extends Error {
  readonly code: ErrorCode
  readonly remedy: string

  /** @param message one sentence: what is wrong, with the value, path or file it is about */
  constructor(code: ErrorCode, message: string, options: { remedy?: string; cause?: unknown } = {}) {
    super(message, { cause: options.cause })
    this.name = 'BoardwrightError'
    this.code = code
    this.remedy = options.remedy ?? errorCatalogue[code].remedy
  }
}

/** True for an error of the catalogue, also when two copies of this package are loaded. */
export const isBoardwrightError = (error: unknown): error is BoardwrightError =>
  error instanceof Error && error.name === 'BoardwrightError' && 'code' in error
