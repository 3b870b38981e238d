import { createServer, type RequestListener, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { routes } from '@boardwright/core/contract'
import { afterEach, describe, expect, test } from 'vitest'
import { changedKeys, isUnitTested } from '../src/api/changed-keys.ts'
import { addressOf, call } from '../src/api/client.ts'
import { toNote } from '../src/api/problem-error.ts'

const realFetch = globalThis.fetch
let server: Server | undefined

/** A real server on loopback; relative addresses go to it, as they do from a page that it serves. */
async function serve(listener: RequestListener): Promise<void> {
  const listening = createServer(listener)
  server = listening
  await new Promise<void>((done) => listening.listen(0, '127.0.0.1', done))
  const { port } = listening.address() as AddressInfo
  globalThis.fetch = (input, init) => realFetch(new URL(String(input), `http://127.0.0.1:${port}`), init)
}

afterEach(async () => {
  globalThis.fetch = realFetch
  server?.closeAllConnections()
  await new Promise((done) => (server ? server.close(done) : done(undefined)))
  server = undefined
})

const noteOf = async (work: Promise<unknown>) => {
  try {
    await work
  } catch (error) {
    return toNote(error)
  }
  throw new Error('the call should have failed')
}

describe('addresses', () => {
  test('parameters are escaped and empty query values left out', () => {
    expect(addressOf(routes.unit.path, { params: { serial: 'A/B C' } })).toBe('/api/units/A%2FB%20C')
    expect(addressOf(routes.units.path, { query: { state: undefined, search: '', limit: 5 } })).toBe(
      '/api/units?limit=5',
    )
  })
})

describe('what can go wrong', () => {
  test('a problem of the server is its sentence, its remedy and the wrong parts', async () => {
    await serve((_request, response) => {
      response.writeHead(404, { 'content-type': 'application/problem+json' })
      response.end(
        JSON.stringify({
          type: '/api/problems/not-found',
          title: 'Not found',
          status: 404,
          code: 'not-found',
          detail: 'There is no unit X.',
          remedy: 'Look at the list.',
          errors: [{ pointer: '/params/serial', message: 'unknown' }],
        }),
      )
    })
    expect(await noteOf(call('unit', { params: { serial: 'X' } }))).toEqual({
      code: 'not-found',
      sentence: 'There is no unit X.',
      remedy: 'Look at the list.',
      errors: [{ pointer: '/params/serial', message: 'unknown' }],
    })
  })

  test('a server that is down', async () => {
    await serve((_request, response) => response.end())
    server?.closeAllConnections()
    await new Promise((done) => server?.close(done))
    expect((await noteOf(call('health', {}))).code).toBe('server-unreachable')
  })

  test('a reply that does not fit the contract, and one that is no JSON', async () => {
    await serve((_request, response) => response.end('{"units": [{"serial": 7}], "total": 1}'))
    expect((await noteOf(call('units', {}))).code).toBe('reply-not-understood')
    expect((await noteOf(call('units', {}))).remedy).toMatch(/Load the page again/)
  })

  test('a gateway that answers for a server that is down', async () => {
    await serve((_request, response) => {
      response.writeHead(502)
      response.end('<h1>Bad gateway</h1>')
    })
    expect((await noteOf(call('health', {}))).code).toBe('server-unreachable')
  })

  test('a fault of the desk says that it is one', () => {
    expect(toNote(new TypeError('x is undefined')).sentence).toContain('x is undefined')
  })
})

describe('live events', () => {
  test('a change fetches what it concerns', () => {
    expect(changedKeys({ noun: 'unit', key: 'PLV-0001' })).toEqual([
      ['units'],
      ['unit', 'PLV-0001'],
      ['figures'],
      // A unit that is tested leaves the list of those to be tested again.
      ['rigChecks'],
    ])
    expect(changedKeys({ noun: 'rig-check', key: '1' })).toEqual([['rigChecks']])
    expect(changedKeys({ noun: 'gauge-study', key: '1' })).toEqual([['gaugeStudies']])
    expect(changedKeys({ noun: 'test-run', key: 'r1' })).toEqual([['diagnosis', 'r1']])
    expect(changedKeys({ noun: 'rework', key: '3' })).toEqual([])
    // The empty key is the beginning of every key: all is fetched again.
    expect(changedKeys({ noun: 'something-new', key: 'x' })).toEqual([[]])
  })

  test('a test run is told once, by the entry of its unit', () => {
    expect(isUnitTested({ verb: 'record-test-run', noun: 'unit' })).toBe(true)
    expect(isUnitTested({ verb: 'record-test-run', noun: 'test-run' })).toBe(false)
    expect(isUnitTested({ verb: 'register-unit', noun: 'unit' })).toBe(false)
  })
})
