import { makeSweep, writeWave } from '@boardwright/core'
import { Problem, uploadLimits } from '@boardwright/core/contract'
import { openStore } from '@boardwright/core/store'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Parts, postForm } from './post-form.ts'
import { board } from './test-recordings.ts'
import { openTestServer, type TestServer } from './test-server.ts'

let server: TestServer
let good: Buffer
beforeAll(async () => {
  server = await openTestServer({ withReference: true })
  good = board({ product: server.product, noiseSeed: 7 })
})
afterAll(() => server.close())
const post = (parts: Parts) => postForm(server.app, parts)

describe('an upload that is wrong is refused in one sentence and stores nothing', () => {
  const text = Buffer.from('this is no sound at all, only a text that was sent by mistake')
  const cases: [string, () => Parts, number, string, RegExp][] = [
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
      'one recording for two settings',
      () => ({ serial: 'PLV-0100', 'setting.max': good, 'setting.min': good }),
      400,
      'recording-twice',
      /setting\.max\.wav.*setting\.min\.wav.*the same/,
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
      'a sweep that is none',
      () => {
        const { samples, rateHz } = makeSweep(server.product.testPlan.stimulus)
        const nothing = Buffer.from(writeWave({ rateHz, channels: [samples.map(() => 0)], format: 'pcm16' }))
        return { serial: 'PLV-0100', sweep: nothing, 'setting.max': good, 'setting.min': good }
      },
      400,
      'sweep-mismatch',
      /sweep/,
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

describe('a unit that was scrapped', () => {
  it('cannot be tested', async () => {
    const { serial, updatedAt } = server.workshop.registerUnit({ serial: 'PLV-0200' })
    const store = openStore(server.file)
    store.units.update({ serial, updatedAt, lastRunId: null, state: 'scrapped' })
    store.close()
    const { reply, problem } = await post({ serial, 'setting.max': good, 'setting.min': good })
    expect(reply.statusCode).toBe(409)
    expect(problem().code).toBe('unit-not-testable')
  })
})

describe('a workshop without a reference', () => {
  it('says so', async () => {
    const bare = await openTestServer()
    const form = { serial: 'PLV-1', 'setting.max': good, 'setting.min': good }
    const { reply, problem } = await postForm(bare.app, form)
    expect(reply.statusCode).toBe(409)
    expect(problem().code).toBe('no-reference')
    await bare.close()
  })
})
