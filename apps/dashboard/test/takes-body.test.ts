import { makeSweep, readWave, recogniseSweep, SweepSettings } from '@boardwright/core'
import { TestRunFields } from '@boardwright/core/contract'
import { expect, test } from 'vitest'
import type { Take } from '../src/measure/take/take.ts'
import { takesBody } from '../src/measure/take/takes-body.ts'

const stimulus = SweepSettings.parse({ durationS: 0.5 })
const take = (setting: string, channels: Float64Array[]): Take => ({
  setting,
  rateHz: 48_000,
  channels,
  check: { usable: true, findings: [], gainAt1kHzDb: 0, noiseDbfs: null, peakDbfs: -6 },
  played: 1,
  bits: 16,
})
const audioOf = async (body: FormData, part: string) =>
  readWave(new Uint8Array(await (body.get(part) as File).arrayBuffer()))

test('every recording goes out sample for sample, with the sweep that was played', async () => {
  // What a browser gives are 32-bit floats, also beyond full scale.
  const samples = Float64Array.of(0, 0.1, -0.7, 1.25).map(Math.fround)
  const body = takesBody({ serial: 'WRN-1', productId: 'wren', stimulus, takes: [take('max', [samples])] })
  const recording = await audioOf(body, 'setting.max')
  expect(recording.channels).toEqual([samples])
  expect((body.get('setting.max') as File).name).toBe('WRN-1-max.wav')
  const sweep = recogniseSweep(await audioOf(body, 'sweep'))
  expect(sweep.settings).toEqual(makeSweep(stimulus).settings)
  expect(body.has('loopBackChannel')).toBe(false)
  // Files last: the server then knows the number before the first recording arrives.
  const kinds = [...body.values()].map((value) => typeof value)
  expect(kinds).toEqual(['string', 'string', 'string', 'object', 'object'])
})

test('the loop-back is the right channel, and the fields are those of the contract', async () => {
  const both = [Float64Array.of(0.5), Float64Array.of(-0.25)]
  const body = takesBody({ serial: 'WRN-1', productId: 'wren', stimulus, takes: [take('min', both)] })
  const fields = Object.fromEntries([...body].filter(([, value]) => typeof value === 'string'))
  expect(TestRunFields.strict().parse(fields)).toEqual({
    serial: 'WRN-1',
    productId: 'wren',
    loopBackChannel: 'right',
    rig: 'sound-interface',
  })
  expect((await audioOf(body, 'setting.min')).channels).toEqual(both)
})
