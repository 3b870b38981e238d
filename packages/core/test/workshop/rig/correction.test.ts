import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { makeSweep } from '../../../src/response/sweep/sweep.ts'
import type { SettingRecording } from '../../../src/workshop/workshop.ts'
import { normalDraws } from '../../response/seeded-noise.ts'
import { temporaryFolder } from '../../store/temporary-folder.ts'
import { newWorkshop } from '../new-workshop.ts'
import { record, recordReference, sweep } from '../rig-recordings.ts'

// A rig whose input is a high-pass and a loss: what comes through it must be judged as what comes without it.

const rig = 'sound-interface' as const
const devices = { output: { device: 'usb' }, input: { device: 'usb_in' } }
const rateHz = sweep.rateHz

/** A first-order high-pass at 15 Hz and a gain of one half, by its difference equation (bilinear transform). */
function coloured(samples: Float64Array): Float64Array {
  const k = Math.tan((Math.PI * 15) / rateHz)
  let [before, out] = [0, 0]
  return samples.map((x) => {
    out = (x - before + (1 - k) * out) / (1 + k)
    before = x
    return 0.5 * out
  })
}
/** Its gain at a frequency, dB: the same filter's transfer function written out. */
function colourDb(frequencyHz: number): number {
  const k = Math.tan((Math.PI * 15) / rateHz)
  const tan = Math.tan((Math.PI * frequencyHz) / rateHz)
  return 20 * Math.log10((0.5 * tan) / Math.hypot(tan, k))
}

const throughRig = (recordings: readonly SettingRecording[]): SettingRecording[] =>
  recordings.map((one) => ({ ...one, audio: { ...one.audio, channels: one.audio.channels.map(coloured) } }))

/** The stimulus through a wire, with the noise of an interface. */
function wire(samples = sweep.samples) {
  const draw = normalDraws(7)
  const played = coloured(Float64Array.of(...new Float64Array(3000), ...samples, ...new Float64Array(4000)))
  const channels = [played.map((x) => x + 3e-6 * draw())]
  return { rateHz, channels, sampleFormat: 'pcm24', bits: 24, truncated: false } as const
}

test('the correction is what the rig does, and needs a wire', () => {
  const workshop = newWorkshop()
  workshop.rig.save({ changes: devices })
  const { correction } = workshop.rig.storeCorrection({ sweep, recording: wire() })
  const errors = correction!.frequencyHz.map((f, i) => Math.abs(correction!.gainDb[i] - colourDb(f)))
  // The window that cuts the impulse response out costs some thousandths of a decibel at 20 Hz.
  expect(Math.max(...errors)).toBeLessThan(0.02)
  const silent = { ...wire(), channels: [new Float64Array(200_000)] }
  expect(() => workshop.rig.storeCorrection({ sweep, recording: silent })).toThrow(/^The correction was not stored: /)
  expect(workshop.rig.history()).toHaveLength(2)
  workshop.close()
})

test('a board in place of the wire is no correction', async () => {
  const workshop = newWorkshop()
  workshop.rig.save({ changes: devices })
  const [board] = await record({ serial: 'PLV-0001', settings: ['max'], spread: 'none' })
  const attempt = () => workshop.rig.storeCorrection({ sweep, recording: board.audio })
  expect(attempt).toThrow(/varies by .* over frequency, and a wire does not do that/)
  workshop.close()
})

test('the rig is taken out of reference and run, and the verdict computes again with the version of that time', async () => {
  const file = join(temporaryFolder(), 'corrected.boardwright')
  const workshop = newWorkshop({ file })
  workshop.rig.save({ changes: devices })
  const { name, version } = workshop.rig.storeCorrection({ sweep, recording: wire() })
  const rigSettings = { name, version }
  workshop.addReference({ recordings: throughRig(await recordReference()), rigSettings })
  expect(workshop.currentReference()?.rigSettings).toEqual(rigSettings)
  const good = await record({ serial: 'PLV-0001' })
  const through = throughRig(good)
  const ahead = workshop.measureAhead({ recording: through[0], rigSettings })
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: through, rigSettings })
  expect(run).toMatchObject({ verdict: 'pass', rigSettings })
  expect(ahead.curve).toEqual(run.measurements[0].curve)

  // The same board without the rig's colour: another workshop, which knows of no rig.
  const plain = newWorkshop()
  plain.addReference({ recordings: await recordReference() })
  const bare = plain.recordTestRun({ serial: 'PLV-0001', rig, recordings: good }).run
  expect(bare.rigSettings).toBeNull()
  for (const [i, { curve, gainAt1kHzDb }] of run.measurements.entries()) {
    const other = bare.measurements[i]
    const apart = curve!.gainDb.map((gain, at) => Math.abs(gain - other.curve!.gainDb[at]))
    // The interface's noise went through the rig too, so the two differ by little more than it.
    expect(Math.max(...apart)).toBeLessThan(0.03)
    expect(Math.abs(gainAt1kHzDb! - other.gainAt1kHzDb!)).toBeLessThan(0.01)
  }
  plain.close()

  // A later correction, even a wrong one, changes no verdict of before.
  const loud = wire().channels[0].map((x) => 2 * x)
  workshop.rig.storeCorrection({ sweep, recording: { ...wire(), channels: [loud] } })
  expect(workshop.rejudge(run.id)).toEqual(run.judgement)
  expect(workshop.check()).toMatchObject({ ok: true, runsChecked: 1 })
  workshop.close()
  // Invariant 4 broken by hand: a verdict that stands on another correction is found.
  const db = new Database(file)
  db.exec('DROP TRIGGER test_run_rig_fixed; UPDATE test_run_rig SET version = 1')
  db.close()
  const broken = newWorkshop({ file, withProduct: false })
  expect(broken.check().findings).toEqual([expect.objectContaining({ code: 'verdict-differs' })])
  broken.close()
})

test('a run with a correction is not judged by a reference without, nor the other way round', async () => {
  const workshop = newWorkshop()
  workshop.rig.save({ changes: devices })
  const before = workshop.rig.current()!
  workshop.addReference({ recordings: throughRig(await recordReference(1)), rigSettings: before })
  const after = workshop.rig.storeCorrection({ sweep, recording: wire() })
  const recordings = throughRig(await record({ serial: 'PLV-0001' }))
  const test = (rigSettings: typeof before) =>
    workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings, rigSettings })
  expect(() => test(after)).toThrow(expect.objectContaining({ code: 'correction-differs' }))
  expect(test(before).run.verdict).toBe('pass')
  workshop.addReference({ recordings: throughRig(await recordReference(1)), rigSettings: after })
  expect(() => test(before)).toThrow(/was measured with a loop-back correction, and this measurement has none/)
  expect(() => workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings })).toThrow(/this measurement has none/)
  expect(() => test({ ...after, version: 9 })).toThrow(expect.objectContaining({ code: 'not-found' }))
  workshop.close()
})

test('a sweep at another level is the same correction', () => {
  const workshop = newWorkshop()
  workshop.rig.save({ changes: devices })
  const quiet = makeSweep({ ...sweep.settings, levelDbfs: -40 })
  const { correction } = workshop.rig.storeCorrection({ sweep: quiet, recording: wire(quiet.samples) })
  const at1kHz = correction!.frequencyHz.findIndex((f) => f >= 1000)
  expect(correction!.gainDb[at1kHz]).toBeCloseTo(colourDb(correction!.frequencyHz[at1kHz]), 2)
  workshop.close()
})
