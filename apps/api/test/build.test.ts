import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openTestServer, type TestServer } from './test-server.ts'

let server: TestServer
const get = async (url: string) => {
  const reply = await server.app.inject(url)
  return { status: reply.statusCode, body: reply.json() }
}
const post = async (url: string, payload: object) => {
  const reply = await server.app.inject({ method: 'POST', url, payload, headers: { host: 'localhost' } })
  return { status: reply.statusCode, body: reply.json(), location: reply.headers.location }
}

beforeAll(async () => {
  server = await openTestServer()
  const { stock } = server.workshop
  const parts = new Set(server.product.partsList!.map(({ part }) => part))
  for (const number of parts) {
    stock.savePart({ number, kind: 'other' })
    stock.receiveLot({ part: number, pieces: 10 })
  }
})
afterAll(() => server.close())

describe('parts, lots and builds over the API', () => {
  it('lists parts and lots', async () => {
    const { body } = await get('/api/parts')
    expect(body.parts.find((part: { number: string }) => part.number === 'DA-2X3')).toMatchObject({
      stock: 10,
      lots: 1,
    })
    expect((await get('/api/lots?part=da-2x3')).body.lots).toMatchObject([{ id: 'L-0001', stock: 10 }])
    expect((await get('/api/lots?state=held')).body).toEqual({ lots: [] })
    expect((await get('/api/lots?state=lost')).status).toBe(400)
  })

  it('starts a build, records its work, and traces both ways', async () => {
    const started = await post('/api/builds', { units: 2, note: 'by the desk' })
    expect(started).toMatchObject({
      status: 201,
      location: '/api/builds/1',
      body: { build: { serials: ['PLV-0001', 'PLV-0002'] } },
    })
    const worked = await post('/api/builds/1/work', { step: 'trim', workedS: 60 })
    expect(worked.body.units).toMatchObject([{ done: ['trim'], workedS: 30 }, { done: ['trim'] }])
    expect((await get('/api/builds')).body.builds).toMatchObject([{ state: 'working', build: { note: 'by the desk' } }])
    expect((await get('/api/builds/1')).body.work).toHaveLength(2)
    const { body: unit } = await get('/api/units/plv-0001/trace')
    expect(unit.places).toHaveLength(server.product.partsList!.length)
    const { body: lot } = await get('/api/lots/L-0001/trace')
    expect(lot).toMatchObject({ toTell: [], toKeep: ['PLV-0001', 'PLV-0002'] })
    expect(server.bugs).toEqual([])
  })

  it('counts a lot', async () => {
    expect(await post('/api/lots/L-0001/counts', { counted: 5, reason: 'three lost' })).toMatchObject({
      ...{ status: 201, body: { lot: { stock: 5 } } },
    })
    expect((await get('/api/lots/L-0001')).body.movements.at(-1)).toMatchObject({ pieces: -3, reason: 'three lost' })
    expect((await post('/api/lots/L-0001/counts', { counted: 5, reason: ' ' })).status).toBe(400)
  })

  it('refuses in one sentence what cannot be', async () => {
    expect(await post('/api/builds', { units: 50 })).toMatchObject({ status: 409, body: { code: 'stock-short' } })
    expect(await post('/api/builds/1/work', { step: 'rig' })).toMatchObject({
      status: 409,
      body: { code: 'step-not-possible' },
    })
    expect(await post('/api/builds/1/work', { step: 'sing' })).toMatchObject({
      status: 400,
      body: { code: 'bad-argument' },
    })
    expect(await get('/api/builds/9')).toMatchObject({ status: 404, body: { code: 'not-found' } })
    expect(await get('/api/lots/NONE/trace')).toMatchObject({ status: 404 })
  })
})
