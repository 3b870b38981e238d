// Twenty recordings of a five-second sweep, each compared with what was played, sample for sample. Not part of npm test.
//   node tests/sound/twenty.mjs [--family pulseaudio|alsa|sox] [--rate 48000|96000] [--runs 20]
//   node tests/sound/twenty.mjs --family pipewire --output NAME --input NAME.monitor   (a PipeWire that runs already)
import { parseArgs } from 'node:util'
import { makeSweep, measureRecording, RigSettings } from '@boardwright/core'
import { makeSoundInterface } from '@boardwright/core/audio'
import { startSoundServer } from './sound-server.mjs'

const { values } = parseArgs({
  options: {
    family: { type: 'string', default: 'pulseaudio' },
    rate: { type: 'string', default: '48000' },
    runs: { type: 'string', default: '20' },
    output: { type: 'string' },
    input: { type: 'string' },
  },
})
const { family } = values
const rateHz = Number(values.rate)
const server = family === 'pipewire' ? null : await startSoundServer()
const name = rateHz === 96_000 ? 'rig96' : 'rig'
server?.control('set-default-sink', name)
server?.control('set-default-source', `${name}_in`)
// ALSA reaches the server through its plug-in, which takes the default devices.
const devices = family === 'alsa' ? ['pulse', 'pulse'] : [values.output ?? name, values.input ?? `${name}_in`]
const environment = { ...(server?.environment ?? process.env) }
if (family === 'sox') environment.AUDIODRIVER = 'pulseaudio'

const settings = RigSettings.parse({
  version: 1,
  changedAt: new Date().toISOString(),
  family,
  rateHz,
  output: { device: devices[0] },
  input: { device: devices[1] },
})
const shape = { durationS: 5, fromHz: 20, toHz: 20_000, levelDbfs: -12, repeats: 1 }
const sweep = makeSweep({ ...shape, rateHz, silenceBeforeS: 0.3, silenceAfterS: 0.7, markers: true })
const rig = makeSoundInterface({ settings, environment })
const lags = []
let bad = 0
let repeated = 0
let worst = 0
const beganMs = performance.now()
for (let run = 1; run <= Number(values.runs); run++) {
  const { audio, origin } = await rig.run({ serial: 'TWENTY', setting: 'max', sweep })
  const { findings, offsetSamples } = measureRecording({ sweep, recording: audio })
  let difference = Number.POSITIVE_INFINITY
  if (offsetSamples !== null) {
    const recorded = audio.channels[0]
    difference = sweep.samples.reduce((m, x, i) => Math.max(m, Math.abs(x - (recorded[i + offsetSamples] ?? 9))), 0)
    lags.push(offsetSamples)
  }
  worst = Math.max(worst, difference)
  if (/played/.test(origin)) repeated++
  if (difference > 1e-6 || findings.length > 0) {
    bad++
    console.log(`run ${run}: off by ${difference}; ${findings.map((f) => f.message).join(' ')}`)
  }
}
const secondsEach = (performance.now() - beganMs) / 1000 / Number(values.runs)
const sweepS = sweep.samples.length / rateHz
console.log(
  `${family} at ${rateHz} Hz: ${bad} of ${values.runs} bad, ${repeated} played again; off by ${worst.toExponential(1)} at most; ` +
    `lag ${Math.min(...lags)} to ${Math.max(...lags)} samples; ${secondsEach.toFixed(2)} s for ${sweepS.toFixed(2)} s of stimulus`,
)
await server?.stop()
process.exit(bad === 0 ? 0 : 1)
