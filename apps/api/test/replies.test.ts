import { readWave } from '@boardwright/core'
import { Ajv2020 } from 'ajv/dist/2020.js'
import formats from 'ajv-formats'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { board } from './test-recordings.ts'
import { openTestServer, type TestServer } from './test-server.ts'

let server: TestServer
let runId: string
let isReply: (schemaPath: string, body: unknown) => string
beforeAll(async () => {
  server = await openTestServer({ withReference: true })
  const recordings = server.product.testPlan.settings.map((setting, i) => ({
    setting,
    audio: readWave(board({ product: server.product, noiseSeed: 20 + i })),
    origin: `${setting}.wav`,
  }))
  runId = server.workshop.recordTestRun({ serial: 'PLV-0001', rig: 'wave-files', recordings }).run.id
  // An independent validator on the published document: what goes out is what the document says.
  const ajv = new Ajv2020({ strict: false, allErrors: true })
  formats.default(ajv)
  ajv.addSchema((await server.app.inject('/api/openapi.json')).json(), 'api')
  isReply = (schemaPath, body) => {
    const validate = ajv.compile({ $ref: `api#${schemaPath}` })
    return validate(body) ? 'as described' : ajv.errorsText(validate.errors)
  }
})
afterAll(() => server.close())

const schemaOf = (path: string, status = 200, type = 'application~1json') =>
  `/paths/${encodeURIComponent(path.replaceAll('/', '~1'))}/get/responses/${status}/content/${type}/schema`

describe('replies keep the published document', () => {
  it.each([
    ['/api/health', '/api/health'],
    ['/api/units', '/api/units'],
    ['/api/units/{serial}', '/api/units/PLV-0001'],
    ['/api/test-runs/{id}', '/api/test-runs/RUN'],
    ['/api/products', '/api/products'],
    ['/api/products/{id}', '/api/products/plover'],
    ['/api/products/{id}/references', '/api/products/plover/references'],
    ['/api/problems/{code}', '/api/problems/too-large'],
  ])('%s', async (path, url) => {
    const reply = await server.app.inject(url.replace('RUN', runId))
    expect(reply.statusCode).toBe(200)
    expect(reply.headers['cache-control']).toBe('no-store')
    expect(isReply(schemaOf(path), reply.json())).toBe('as described')
  })

  it('and problems too', async () => {
    const reply = await server.app.inject('/api/units?state=lost')
    expect(isReply(schemaOf('/api/units', 400, 'application~1problem+json'), reply.json())).toBe('as described')
  })

  it('the validator sees a reply that does not', () => {
    expect(isReply(schemaOf('/api/health'), { ok: 'yes' })).not.toBe('as described')
  })
})

describe('the list of units', () => {
  it('is limited, and counts what was left out', async () => {
    for (const n of [11, 12, 13]) server.workshop.registerUnit({ serial: `PLV-00${n}` })
    const two = (await server.app.inject('/api/units?limit=2')).json()
    expect(two.units).toHaveLength(2)
    expect(two.total).toBe(4)
  })

  it('can be asked for a state and for a part of a serial number', async () => {
    const untested = (await server.app.inject('/api/units?state=untested&search=12')).json()
    expect(untested.units.map((row: { serial: string }) => row.serial)).toEqual(['PLV-0012'])
  })
})

describe('a reply that breaks its own contract', () => {
  it('is a bug, not a strange reply', async () => {
    server.bugs.length = 0
    const { product } = server
    // The verb of a workshop that would give something else: the schema of the reply must stop it.
    server.workshop.products = () => [{ ...product, controls: [] }]
    const reply = await server.app.inject('/api/products')
    expect(reply.statusCode).toBe(500)
    expect(reply.json().code).toBe('internal')
    expect(server.bugs).toHaveLength(1)
  })
})
