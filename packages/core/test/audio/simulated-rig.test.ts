import { expect, test } from 'vitest'
import { makeSimulatedRig } from '../../src/audio/simulated-rig.ts'
import { measureRecording } from '../../src/response/curve/measure-recording.ts'
import { product, sweep, wrongCapacitor } from '../workshop/rig-recordings.ts'

const atOnce = { product, speed: Number.POSITIVE_INFINITY, clip: false }
const request = { serial: 'PLV-0001', setting: 'max', sweep }

test('the same seed gives the same recordings to the last bit, another board or run gives others', async () => {
  const first = await makeSimulatedRig(atOnce).run(request)
  const rig = makeSimulatedRig(atOnce)
  expect(await rig.run(request)).toEqual(first)
  const [again] = (await rig.run(request)).audio.channels
  expect(again).not.toEqual(first.audio.channels[0])
  const [otherBoard] = (await makeSimulatedRig(atOnce).run({ ...request, serial: 'PLV-0002' })).audio.channels
  expect(otherBoard).not.toEqual(first.audio.channels[0])
})

test('what comes back is a 24-bit recording that begins before the sweep and holds full scale', async () => {
  const { audio, origin } = await makeSimulatedRig({ ...atOnce, noiseDbfs: -3 }).run(request)
  expect(audio).toMatchObject({ rateHz: 48_000, sampleFormat: 'pcm24', bits: 24, truncated: false })
  expect(origin).toContain('max')
  const [samples] = audio.channels
  expect(samples.length).toBeGreaterThanOrEqual(sweep.samples.length)
  expect(samples.every((x) => x >= -1 && x < 1 && Number.isInteger(x * 2 ** 23))).toBe(true)
  expect(Math.max(...samples)).toBe(1 - 2 ** -23)
})

test('a fault of the board is in its recording', async () => {
  const rig = makeSimulatedRig({
    ...atOnce,
    spread: 'none',
    faultsOf: (serial) => (serial === 'PLV-0666' ? wrongCapacitor : []),
  })
  const gainAt = async (serial: string, hz: number) => {
    const { curve } = measureRecording({
      sweep,
      recording: (await rig.run({ ...request, serial, setting: 'min' })).audio,
    })
    return curve!.gainDb[curve!.frequencyHz.findIndex((f) => f >= hz)]
  }
  // C7 is bridged by the control at its maximum; at minimum another value of it moves the bass, not the treble.
  expect(Math.abs((await gainAt('PLV-0666', 300)) - (await gainAt('PLV-0001', 300)))).toBeGreaterThan(3)
  expect(Math.abs((await gainAt('PLV-0666', 15_000)) - (await gainAt('PLV-0001', 15_000)))).toBeLessThan(0.5)
})

test('hum stands in the recording at its frequency and level', async () => {
  const silent = { ...sweep, samples: new Float64Array(48_000) }
  const quiet = { ...atOnce, noiseDbfs: -140 }
  const hum = { hz: 50, levelDbfs: -30 }
  const { audio } = await makeSimulatedRig({ ...quiet, hum }).run({ ...request, sweep: silent })
  const samples = audio.channels[0].subarray(0, 48_000)
  // One bin of the Fourier sum at 50 Hz over whole periods is the peak of that component.
  let re = 0
  let im = 0
  samples.forEach((x, i) => {
    re += x * Math.cos((2 * Math.PI * 50 * i) / 48_000)
    im += x * Math.sin((2 * Math.PI * 50 * i) / 48_000)
  })
  const levelDbfs = 20 * Math.log10(Math.hypot(re, im) / 24_000)
  expect(levelDbfs).toBeCloseTo(-30, 1)
})

test('progress is told from 0 to 1, and takes as long as the speed says', async () => {
  const fractions: number[] = []
  const rig = makeSimulatedRig({ ...atOnce, speed: 1 })
  const began = performance.now()
  await rig.run({ ...request, onProgress: ({ fraction }) => fractions.push(fraction) })
  // Not shorter than the sweep; how much longer depends on the machine.
  expect(performance.now() - began).toBeGreaterThanOrEqual((1000 * sweep.samples.length) / 48_000 - 5)
  expect(fractions[0]).toBe(0)
  expect(fractions.at(-1)).toBe(1)
  expect(fractions).toEqual([...fractions].sort((a, b) => a - b))
})

test('a run that is stopped ends with the reason it was given', async () => {
  const stop = new AbortController()
  const run = makeSimulatedRig({ ...atOnce, speed: 0.01 }).run({ ...request, signal: stop.signal })
  setTimeout(() => stop.abort(new Error('the maker pressed escape')), 20)
  await expect(run).rejects.toThrow('the maker pressed escape')
})

test('a setting that the product does not have is refused', async () => {
  await expect(makeSimulatedRig(atOnce).run({ ...request, setting: 'loud' })).rejects.toMatchObject({
    code: 'setting-unknown',
  })
})
