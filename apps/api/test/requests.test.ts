import { Problem } from '@boardwright/core/contract'
import type { InjectOptions } from 'fastify'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openTestServer, type TestServer } from './test-server.ts'

let server: TestServer
beforeAll(async () => {
  server = await openTestServer()
})
afterAll(() => server.close())

const ask = async (options: InjectOptions) => {
  const reply = await server.app.inject(options)
  return { reply, problem: () => Problem.parse(reply.json()) }
}
const json = { 'content-type': 'application/json' }

describe('a request that is wrong gets a problem document', () => {
  it.each<[string, InjectOptions, number, string]>([
    ['unknown path', { url: '/api/nothing' }, 404, 'not-found'],
    ['unknown path, posted to', { url: '/api/nothing', method: 'POST', payload: {} }, 404, 'not-found'],
    ['/api itself', { url: '/api' }, 404, 'not-found'],
    ['unknown unit', { url: '/api/units/PLV-9999' }, 404, 'not-found'],
    ['unknown test run', { url: '/api/test-runs/none' }, 404, 'not-found'],
    ['unknown product', { url: '/api/products/none' }, 404, 'not-found'],
    ['references of an unknown product', { url: '/api/products/none/references' }, 404, 'not-found'],
    ['unknown error code', { url: '/api/problems/constructor' }, 404, 'not-found'],
    ['method that a path has not', { url: '/api/units', method: 'DELETE' }, 405, 'method-not-allowed'],
    ['broken escape', { url: '/api/units/%E0%A4%A' }, 400, 'bad-request'],
    ['bad serial number', { url: '/api/units/plv_0001' }, 400, 'bad-serial'],
    ['serial number of 33 characters', { url: `/api/units/${'A'.repeat(33)}` }, 400, 'bad-serial'],
    ['path parameter beyond all measure', { url: `/api/units/${'A'.repeat(3000)}` }, 404, 'not-found'],
    ['unknown state', { url: '/api/units?state=lost' }, 400, 'bad-request'],
    ['limit of 0', { url: '/api/units?limit=0' }, 400, 'bad-request'],
    ['a query parameter twice', { url: '/api/units?state=ready&state=failed' }, 400, 'bad-request'],
    ['bad Last-Event-ID', { url: '/api/events', headers: { 'last-event-id': 'x' } }, 400, 'bad-request'],
    ['negative start of events', { url: '/api/events?after=-1' }, 400, 'bad-request'],
    ['JSON to a route of files', { url: '/api/test-runs', method: 'POST', payload: {} }, 415, 'unsupported-media-type'],
    [
      'broken JSON',
      { url: '/api/test-runs', method: 'POST', headers: json, payload: '{"serial":' },
      400,
      'bad-request',
    ],
    ['empty JSON', { url: '/api/test-runs', method: 'POST', headers: json, payload: '' }, 400, 'bad-request'],
    [
      'format that nobody reads',
      { url: '/api/test-runs', method: 'POST', headers: { 'content-type': 'audio/ogg' }, payload: 'x' },
      415,
      'unsupported-media-type',
    ],
    [
      'JSON beyond the limit',
      { url: '/api/test-runs', method: 'POST', headers: json, payload: `"${'x'.repeat(2_000_000)}"` },
      413,
      'too-large',
    ],
  ])('%s', async (_name, options, status, code) => {
    const { reply, problem } = await ask(options)
    expect(reply.headers['content-type']).toBe('application/problem+json')
    expect({ status: reply.statusCode, code: problem().code }).toEqual({ status, code })
    expect(problem().status).toBe(status)
    expect(problem().detail).toMatch(/^[A-Z"].*[.)]$/s)
    expect(server.bugs).toEqual([])
  })

  it('names every wrong part with a JSON Pointer', async () => {
    const { problem } = await ask({ url: '/api/units?state=lost&limit=many' })
    expect(problem().errors?.map((part) => part.pointer)).toEqual(['/query/state', '/query/limit'])
    expect(problem().detail).toContain('and 1 more')
  })

  it('says which methods a path has (RFC 9110 section 15.5.6), before it reads a body', async () => {
    const { reply } = await ask({ url: '/api/test-runs', method: 'PUT', headers: json, payload: '{' })
    expect(reply.statusCode).toBe(405)
    expect(reply.headers.allow).toBe('POST')
    const unit = await ask({ url: '/api/units/PLV-1', method: 'OPTIONS' })
    expect(unit.reply.headers.allow).toBe('GET, HEAD')
  })

  it('answers HEAD with the headers of GET and no body', async () => {
    const { reply } = await ask({ url: '/api/health', method: 'HEAD' })
    expect(reply.statusCode).toBe(200)
    expect(reply.body).toBe('')
  })
})

describe('only this computer is answered', () => {
  it.each(['localhost', 'localhost:4600', 'LOCALHOST', '127.0.0.1:4600', '127.1.2.3', '[::1]:4600'])(
    'as %s',
    async (host) => {
      expect((await ask({ url: '/api/health', headers: { host } })).reply.statusCode).toBe(200)
    },
  )

  it.each([
    'evil.example',
    'localhost.evil.example',
    '127.0.0.1.evil.example',
    '127.0.0.1@evil.example',
    '192.168.1.7:4600',
    '[::2]',
    '0.0.0.0',
  ])('not as %s', async (host) => {
    for (const url of ['/api/health', '/api/events', '/', '/api/nothing']) {
      const { reply, problem } = await ask({ url, headers: { host } })
      expect(reply.statusCode).toBe(421)
      expect(problem().code).toBe('host-not-allowed')
    }
  })

  it.each([
    'http://evil.example',
    'null',
    'http://localhost:9999',
    'https://localhost:4600',
    'http://localhost:4600.evil.example',
  ])('a page of %s may not post', async (origin) => {
    const headers = { host: 'localhost:4600', origin, ...json }
    const { reply, problem } = await ask({ url: '/api/test-runs', method: 'POST', headers, payload: '{}' })
    expect(reply.statusCode).toBe(403)
    expect(problem().code).toBe('foreign-origin')
  })

  it('a page of its own may post, and no foreign page is told that it may read', async () => {
    const headers = { host: 'localhost:4600', origin: 'http://localhost:4600', ...json }
    const own = await ask({ url: '/api/test-runs', method: 'POST', headers, payload: '{}' })
    expect(own.reply.statusCode).toBe(415)
    const read = await ask({ url: '/api/units', headers: { host: 'localhost', origin: 'http://evil.example' } })
    expect(read.reply.headers).not.toHaveProperty('access-control-allow-origin')
    expect(read.reply.headers['cross-origin-resource-policy']).toBe('same-origin')
  })
})
