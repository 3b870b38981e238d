import { setImmediate as pause } from 'node:timers/promises'
import { makeSweep, sweepMetadata, writeWave } from '@boardwright/core'
import { AddedTestRun, routes } from '@boardwright/core/contract'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Parts, postForm } from './post-form.ts'
import { board } from './test-recordings.ts'
import { openTestServer, type TestServer } from './test-server.ts'

let server: TestServer
let good: Buffer
let goodAtMin: Buffer
beforeAll(async () => {
  server = await openTestServer({ withReference: true })
  good = board({ product: server.product, noiseSeed: 7 })
  goodAtMin = board({ product: server.product, noiseSeed: 17 })
})
afterAll(() => server.close())
const post = (parts: Parts) => postForm(server.app, parts)

const reload = async (location: unknown) => {
  const reply = await server.app.inject(String(location))
  return { reply, detail: routes.testRun.reply.parse(reply.json()) }
}

describe('recordings of a unit, sent as a form', () => {
  it('give a verdict, a stored run and its address', async () => {
    const { reply } = await post({ serial: 'plv-0001', 'setting.max': good, 'setting.min': goodAtMin })
    expect(reply.statusCode).toBe(201)
    const added = AddedTestRun.parse(reply.json())
    expect(added).toMatchObject({ newUnit: true, unit: { serial: 'PLV-0001', state: 'ready' } })
    expect(added.run).toMatchObject({ serial: 'PLV-0001', verdict: 'pass', rig: 'upload' })
    expect(added.run.measurements.map((measured) => measured.origin)).toEqual(['setting.max.wav', 'setting.min.wav'])
    const { detail } = await reload(reply.headers.location)
    expect(detail).toEqual({ run: added.run, reference: added.reference })
    const unit = routes.unit.reply.parse((await server.app.inject('/api/units/PLV-0001')).json())
    expect(unit.runs.map((run) => run.id)).toEqual([added.run.id])
    const list = routes.units.reply.parse((await server.app.inject('/api/units?state=ready')).json())
    expect(list.units.find((row) => row.serial === 'PLV-0001')?.lastRun?.verdict).toBe('pass')
  })

  it('keep nobody waiting: other requests are answered between one recording and the next', async () => {
    // As many as there are pauses: one before each recording is read and measured, and one before it is judged. A server
    // that analyses in one go answers none of those that come while it does.
    const between: number[] = []
    const { measureAhead } = server.workshop
    let answered = 0
    server.workshop.measureAhead = (what) => {
      between.push(answered)
      return measureAhead(what)
    }
    let isDone = false
    const upload = post({ serial: 'PLV-0009', 'setting.max': good, 'setting.min': goodAtMin }).finally(() => {
      isDone = true
    })
    while (!isDone) {
      expect((await server.app.inject('/api/health')).statusCode).toBe(200)
      answered++
      await pause()
    }
    server.workshop.measureAhead = measureAhead
    expect((await upload).reply.statusCode).toBe(201)
    expect(between).toHaveLength(2)
    expect(between[1]).toBeGreaterThan(between[0])
    expect(answered).toBeGreaterThan(between[1])
  })

  it('fail a board whose treble is gone, and say where', async () => {
    const dull = board({ product: server.product, noiseSeed: 8, cornerHz: 3000 })
    const { reply } = await post({ serial: 'PLV-0002', 'setting.max': dull, 'setting.min': goodAtMin })
    const { run } = AddedTestRun.parse(reply.json())
    expect(run.verdict).toBe('fail')
    expect(run.judgement.reasons[0]).toMatchObject({ verdict: 'fail', setting: 'max' })
    // A pole at 3 kHz takes 3 dB there and 16.5 dB at 20 kHz; the band ends at -2 dB.
    const measured = run.measurements[0].curve
    const at20k = measured?.gainDb.at(-1) ?? 0
    expect(at20k - (measured?.gainDb[0] ?? 0)).toBeLessThan(-10)
  })

  it('ask for a repeat, and store that, when a recording is silent', async () => {
    const { samples, rateHz } = makeSweep(server.product.testPlan.stimulus)
    const silent = Buffer.from(writeWave({ rateHz, channels: [samples.map(() => 0)], format: 'pcm24' }))
    const { reply } = await post({ serial: 'PLV-0003', 'setting.max': silent, 'setting.min': goodAtMin })
    const added = AddedTestRun.parse(reply.json())
    expect(added.run.verdict).toBe('repeat')
    expect(added.run.measurements[0].findings.map((finding) => finding.code)).toContain('silent')
  })

  it('use the loop-back channel that is named', async () => {
    const [max, min] = [9, 19].map((noiseSeed) => board({ product: server.product, noiseSeed, stereo: true }))
    const form = { serial: 'PLV-0004', loopBackChannel: 'left', 'setting.max': max, 'setting.min': min }
    const { run } = AddedTestRun.parse((await post(form)).reply.json())
    expect(run.measurements[0].usable).toBe(true)
    // The response is twice what was looped back: 20 log10 2 = 6.02 dB.
    expect(run.measurements[0].gainAt1kHzDb).toBeCloseTo(6.02, 1)
  })

  it('are measured by the sweep that was played, when its file is sent along', async () => {
    const stimulus = { ...server.product.testPlan.stimulus, durationS: 1.6, levelDbfs: -20 }
    const product = { ...server.product, testPlan: { ...server.product.testPlan, stimulus } }
    const [max, min] = [10, 20].map((noiseSeed) => board({ product, noiseSeed }))
    const { samples, rateHz } = makeSweep(stimulus)
    const sweep = Buffer.from(
      writeWave({ rateHz, channels: [samples], format: 'pcm24', metadata: sweepMetadata(stimulus) }),
    )
    const form = { serial: 'PLV-0007', sweep, 'setting.max': max, 'setting.min': min }
    const { run } = AddedTestRun.parse((await post(form)).reply.json())
    expect(run.sweep).toMatchObject({ durationS: 1.6, levelDbfs: -20 })
    expect(run.verdict).toBe('pass')
  })

  it('keep only the last segment of a file name', async () => {
    const file = { bytes: good, fileName: 'C:\\rig\\..\\PLV-0005-max.wav' }
    const { reply } = await post({ serial: 'PLV-0005', 'setting.max': file, 'setting.min': goodAtMin })
    expect(AddedTestRun.parse(reply.json()).run.measurements[0].origin).toBe('PLV-0005-max.wav')
  })

  it('are answered with less than 400 kB', async () => {
    const { reply } = await post({ serial: 'PLV-0006', 'setting.max': good, 'setting.min': goodAtMin })
    expect(reply.statusCode).toBe(201)
    expect(reply.rawPayload.length).toBeLessThan(400_000)
  })
})
