import type { OpenInput } from './open-input.ts'
import type { Recorder } from './recorder.ts'
import { listSoundDevices, type SoundDevice } from './sound-devices.ts'
import { soundTrouble } from './sound-trouble.ts'

export interface Watched {
  context: AudioContext
  input: OpenInput
  recorder: Recorder
  devices: { input: SoundDevice; output: SoundDevice }
}

/** Some systems tell nobody that a device has gone: the list is looked through so often, ms. */
const lookEveryMs = 400
/** A recorder that is silent for longer has stopped, ms. */
const stallMs = 2000

/**
 * Watches everything that can end a sound from outside: a device that goes away or is muted, a page that is hidden, a
 * context that is put to sleep. Tells the first trouble, once.
 *
 * @returns a function that ends the watch
 */
export function watchSound(watched: Watched, onTrouble: (trouble: Error) => void): () => void {
  const ended = new AbortController()
  const { signal } = ended
  const tell: typeof onTrouble = (trouble) => {
    if (signal.aborted) return
    ended.abort()
    onTrouble(trouble)
  }
  const { context, recorder } = watched
  const { track } = watched.input
  const { input, output } = watched.devices
  track.addEventListener('ended', () => tell(gone('input', input)), { signal })
  track.addEventListener('mute', () => tell(soundTrouble('device-muted', `The input "${input.label}" was muted.`)), {
    signal,
  })
  context.addEventListener(
    'statechange',
    () => {
      if (context.state !== 'running') tell(suspended())
    },
    { signal },
  )
  // Newer browsers tell here that the output broke off.
  context.addEventListener('error', () => tell(gone('output', output)), { signal })
  document.addEventListener(
    'visibilitychange',
    () => {
      if (document.hidden) tell(hidden())
    },
    { signal },
  )
  if (document.hidden) queueMicrotask(() => tell(hidden()))
  const look = () => void goneDevice(input, output).then((trouble) => trouble && tell(trouble))
  navigator.mediaDevices.addEventListener('devicechange', look, { signal })
  const timer = setInterval(() => {
    look()
    if (performance.now() - recorder.lastMs() > stallMs)
      tell(soundTrouble('rig-failed', `The input "${input.label}" stopped recording in the middle of the sweep.`))
  }, lookEveryMs)
  signal.addEventListener('abort', () => clearInterval(timer))
  return () => ended.abort()
}

const gone = (direction: 'input' | 'output', { label }: SoundDevice) =>
  soundTrouble('device-changed', `The sound was stopped: the ${direction} "${label}" went away.`)

const suspended = () => soundTrouble('sound-suspended', 'The sound was stopped: the browser put it to sleep.')

const hidden = () => soundTrouble('page-hidden', 'The sound was stopped: this page was hidden while it played.')

async function goneDevice(input: SoundDevice, output: SoundDevice): Promise<Error | null> {
  const { inputs, outputs } = await listSoundDevices()
  if (input.id !== '' && !inputs.some(({ id }) => id === input.id)) return gone('input', input)
  if (output.id !== '' && !outputs.some(({ id }) => id === output.id)) return gone('output', output)
  return null
}
