import { AddedTestRun, Problem, routes, uploadLimits } from '@boardwright/core/contract'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { board } from './test-recordings.ts'
import { openTestServer, type TestServer } from './test-server.ts'

let server: TestServer
let good: Buffer
beforeAll(async () => {
  server = await openTestServer({ withReference: true })
  good = board({ product: server.product, noiseSeed: 7 })
})
afterAll(() => server.close())

type Parts = Record<string, string | Buffer | { bytes: Buffer; fileName: string }>

/** Sends a form as a browser does: the platform's own FormData writes the bytes. */
async function post(parts: Parts | [string, string | Buffer][]) {
  const form = new FormData()
  for (const [name, value] of Array.isArray(parts) ? parts : Object.entries(parts)) {
    if (typeof value === 'string') form.append(name, value)
    else if (Buffer.isBuffer(value)) form.append(name, new Blob([new Uint8Array(value)]), `${name}.wav`)
    else form.append(name, new Blob([new Uint8Array(value.bytes)]), value.fileName)
  }
  const request = new Request('http://localhost/', { method: 'POST', body: form })
  const reply = await server.app.inject({
    method: 'POST',
    url: '/api/test-runs',
    headers: { 'content-type': request.headers.get('content-type') ?? '' },
    payload: Buffer.from(await request.arrayBuffer()),
  })
  return { reply, problem: () => Problem.parse(reply.json()) }
}

const reload = async (location: unknown) => {
  const reply = await server.app.inject(String(location))
  return { reply, detail: routes.testRun.reply.parse(reply.json()) }
}

describe('recordings of a unit, sent as a form', () => {
  it('give a verdict, a stored run and its address', async () => {
    const { reply } = await post({ serial: 'plv-0001', 'setting.max': good, 'setting.min': good })
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

  it('fail a board whose treble is gone, and say where', async () => {
    const dull = board({ product: server.product, noiseSeed: 8, cornerHz: 3000 })
    const { reply } = await post({ serial: 'PLV-0002', 'setting.max': dull, 'setting.min': good })
    const { run } = AddedTestRun.parse(reply.json())
    expect(run.verdict).toBe('fail')
    expect(run.judgement.reasons[0]).toMatchObject({ verdict: 'fail', setting: 'max' })
    // A pole at 3 kHz takes 3 dB there and 16.5 dB at 20 kHz; the band ends at -2 dB.
    const measured = run.measurements[0].curve
    const at20k = measured?.gainDb.at(-1) ?? 0
    expect(at20k - (measured?.gainDb[0] ?? 0)).toBeLessThan(-10)
  })

  it('ask for a repeat, and store that, when a recording is silent', async () => {
    const sound = Buffer.from(good)
    const silent = Buffer.concat([sound.subarray(0, 100), Buffer.alloc(sound.length - 100)])
    const { reply } = await post({ serial: 'PLV-0003', 'setting.max': silent, 'setting.min': good })
    const added = AddedTestRun.parse(reply.json())
    expect(added.run.verdict).toBe('repeat')
    expect(added.run.measurements[0].findings.map((finding) => finding.code)).toContain('silent')
  })

  it('use the loop-back channel that is named', async () => {
    const both = board({ product: server.product, noiseSeed: 9, stereo: true })
    const form = { serial: 'PLV-0004', loopBackChannel: 'left', 'setting.max': both, 'setting.min': both }
    const { run } = AddedTestRun.parse((await post(form)).reply.json())
    expect(run.measurements[0].usable).toBe(true)
    // The response is twice what was looped back: 20 log10 2 = 6.02 dB.
    expect(run.measurements[0].gainAt1kHzDb).toBeCloseTo(6.02, 1)
  })

  it('keep only the last segment of a file name', async () => {
    const file = { bytes: good, fileName: 'C:\\rig\\..\\PLV-0005-max.wav' }
    const { reply } = await post({ serial: 'PLV-0005', 'setting.max': file, 'setting.min': good })
    expect(AddedTestRun.parse(reply.json()).run.measurements[0].origin).toBe('PLV-0005-max.wav')
  })

  it('are answered with less than 400 kB', async () => {
    const { reply } = await post({ serial: 'PLV-0006', 'setting.max': good, 'setting.min': good })
    expect(reply.rawPayload.length).toBeLessThan(400_000)
  })
})

describe('an upload that is wrong is refused in one sentence and stores nothing', () => {
  const text = Buffer.from('this is no sound at all, only a text that was sent by mistake')
  const cases: [string, () => Parts | [string, string | Buffer][], number, string, RegExp][] = [
    ['nothing at all', () => ({}), 400, 'bad-serial', /serial/],
    ['no serial number', () => ({ 'setting.max': good }), 400, 'bad-serial', /\/body\/serial/],
    ['a bad serial number', () => ({ serial: 'P V', 'setting.max': good }), 400, 'bad-serial', /letters, digits/],
    ['no recording', () => ({ serial: 'PLV-0100' }), 400, 'setting-missing', /no recording/],
    ['a setting missing', () => ({ serial: 'PLV-0100', 'setting.max': good }), 400, 'setting-missing', /"min"/],
    [
      'a setting that is not known',
      () => ({ serial: 'PLV-0100', 'setting.max': good, 'setting.min': good, 'setting.loud': good }),
      400,
      'setting-unknown',
      /"loud"/,
    ],
    [
      'a file under another name',
      () => ({ serial: 'PLV-0100', max: good }),
      400,
      'bad-request',
      /\/body\/max.*setting\./,
    ],
    ['a setting without a name', () => ({ serial: 'PLV-0100', 'setting.': good }), 400, 'bad-request', /setting\.NAME/],
    [
      'a field that is not known',
      () => ({ serial: 'PLV-0100', colour: 'red', 'setting.max': good }),
      400,
      'bad-request',
      /colour/,
    ],
    [
      'a recording that is no file',
      () => ({ serial: 'PLV-0100', 'setting.max': 'x' }),
      400,
      'bad-request',
      /must be a file/,
    ],
    [
      'a wrong channel',
      () => ({ serial: 'PLV-0100', loopBackChannel: 'middle', 'setting.max': good }),
      400,
      'bad-request',
      /loopBackChannel/,
    ],
    [
      'a field that is far too long',
      () => ({ productId: 'p'.repeat(5000) }),
      400,
      'bad-request',
      /\/body\/productId.*256/,
    ],
    [
      'one part twice',
      () => [
        ['serial', 'PLV-0100'],
        ['setting.max', good],
        ['setting.max', good],
      ],
      400,
      'bad-request',
      /twice/,
    ],
    [
      'no WAV file',
      () => ({ serial: 'PLV-0100', 'setting.max': text, 'setting.min': good }),
      415,
      'not-a-wave-file',
      /"setting.max.wav" \(part setting.max\)/,
    ],
    [
      'an empty file',
      () => ({ serial: 'PLV-0100', 'setting.max': Buffer.alloc(0), 'setting.min': good }),
      415,
      'not-a-wave-file',
      /0 bytes/,
    ],
    [
      'a product that is not known',
      () => ({ serial: 'PLV-0100', productId: 'none', 'setting.max': good, 'setting.min': good }),
      404,
      'not-found',
      /none/,
    ],
    [
      'one byte too much in a file',
      () => ({ serial: 'PLV-0100', 'setting.max': Buffer.alloc(uploadLimits.bytesPerFile + 1) }),
      413,
      'too-large',
      /"setting.max.wav" is larger than the 64 MB/,
    ],
    [
      'too many files',
      () =>
        Array.from({ length: uploadLimits.files + 1 }, (_, i): [string, Buffer] => [`setting.s${i}`, Buffer.alloc(9)]),
      413,
      'too-large',
      /too many files/,
    ],
    [
      'too many fields',
      () => Array.from({ length: 40 }, (_, i): [string, string] => [`f${i}`, 'x']),
      413,
      'too-large',
      /too many/,
    ],
    [
      'a name of the language',
      () => ({ serial: 'PLV-0100', __proto__x: 'x', constructor: 'x' }),
      400,
      'bad-request',
      /./,
    ],
  ]

  it.each(cases)('%s', async (_name, parts, status, code, words) => {
    const before = server.workshop.lastSeq()
    const { reply, problem } = await post(parts())
    expect({ status: reply.statusCode, code: problem().code }).toEqual({ status, code })
    expect(problem().detail).toMatch(words)
    expect(server.workshop.lastSeq()).toBe(before)
    expect(server.bugs).toEqual([])
  })

  it('a form that ends in the middle', async () => {
    const payload = '--x\r\nContent-Disposition: form-data; name="setting.max"; filename="a.wav"\r\n\r\nRIFF'
    const headers = { 'content-type': 'multipart/form-data; boundary=x' }
    const reply = await server.app.inject({ method: 'POST', url: '/api/test-runs', headers, payload })
    expect(reply.statusCode).toBe(400)
    expect(Problem.parse(reply.json()).code).toBe('bad-request')
  })

  it('a form without a boundary', async () => {
    const headers = { 'content-type': 'multipart/form-data' }
    const reply = await server.app.inject({ method: 'POST', url: '/api/test-runs', headers, payload: 'x' })
    expect(reply.statusCode).toBe(400)
    expect(Problem.parse(reply.json()).code).toBe('bad-request')
  })
})

describe('a workshop without a reference', () => {
  it('says so', async () => {
    const bare = await openTestServer()
    const form = new FormData()
    form.append('serial', 'PLV-1')
    for (const setting of ['max', 'min']) form.append(`setting.${setting}`, new Blob([new Uint8Array(good)]), 'a.wav')
    const request = new Request('http://localhost/', { method: 'POST', body: form })
    const reply = await bare.app.inject({
      method: 'POST',
      url: '/api/test-runs',
      headers: { 'content-type': request.headers.get('content-type') ?? '' },
      payload: Buffer.from(await request.arrayBuffer()),
    })
    expect(reply.statusCode).toBe(409)
    expect(Problem.parse(reply.json()).code).toBe('no-reference')
    await bare.close()
  })
})
