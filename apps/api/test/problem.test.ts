import { BoardwrightError, type ErrorCode, errorCatalogue } from '@boardwright/core'
import { Problem, type ProblemKind } from '@boardwright/core/contract'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { jsonPointer } from '../src/invalid-request.ts'
import { openTestServer, type TestServer } from './test-server.ts'

let server: TestServer
let thrown: unknown

beforeAll(async () => {
  server = await openTestServer({
    // A route that throws what a test wants, on the real app with its real error handler.
    prepare: (app) => {
      app.get('/api/throw', () => {
        throw thrown
      })
    },
  })
})
afterAll(() => server.close())

const problemOf = async (error: unknown) => {
  thrown = error
  const reply = await server.app.inject('/api/throw')
  return { reply, problem: Problem.parse(reply.json()) }
}

describe('an error of the catalogue', () => {
  it.each(Object.keys(errorCatalogue) as ErrorCode[])(
    '%s goes out with its own status, sentence and remedy',
    async (code) => {
      const { reply, problem } = await problemOf(new BoardwrightError(code, 'One clear sentence.'))
      expect(reply.statusCode).toBe(errorCatalogue[code].status)
      expect(reply.headers['content-type']).toBe('application/problem+json')
      expect(problem).toMatchObject({
        code,
        status: reply.statusCode,
        detail: 'One clear sentence.',
        instance: '/api/throw',
      })
      expect(problem.remedy).toBe(errorCatalogue[code].remedy)
    },
  )

  it('has a type that leads to a description of the code, as RFC 9457 section 3.1.1 wishes', async () => {
    const { problem } = await problemOf(new BoardwrightError('no-reference', 'None yet.'))
    const described = await server.app.inject(problem.type)
    expect(described.statusCode).toBe(200)
    expect(described.json() as ProblemKind).toEqual({
      code: 'no-reference',
      title: problem.title,
      status: 409,
      remedy: problem.remedy,
    })
  })

  it('keeps a remedy of its own', async () => {
    const { problem } = await problemOf(new BoardwrightError('rig-failed', 'No sound.', { remedy: 'Plug it in.' }))
    expect(problem.remedy).toBe('Plug it in.')
  })

  it('is also known when it comes from a second copy of the package', async () => {
    const copy = Object.assign(new Error('No such unit.'), {
      name: 'BoardwrightError',
      code: 'not-found',
      remedy: 'Look.',
    })
    const { problem } = await problemOf(copy)
    expect(problem).toMatchObject({ code: 'not-found', status: 404, remedy: 'Look.' })
  })
})

describe('a bug', () => {
  it.each([
    ['an error', new TypeError('secret /home/maker/file'), 'secret'],
    ['no error at all', 'secret text', 'secret'],
    ['nothing', undefined, 'undefined'],
    ['an error with a status of its own', Object.assign(new Error('secret'), { statusCode: 503 }), 'secret'],
    ['an error that calls itself ok', Object.assign(new Error('secret'), { statusCode: 200 }), 'secret'],
  ])('(%s) says so, shows nothing of its inside, and is reported', async (_name, bug, inside) => {
    server.bugs.length = 0
    const { reply, problem } = await problemOf(bug)
    expect(reply.statusCode).toBe(500)
    expect(problem.code).toBe('internal')
    expect(problem.remedy).toContain('bug')
    expect(reply.body).not.toContain(inside)
    expect(reply.body).not.toContain('.ts')
    expect(server.bugs).toEqual([{ error: bug, request: 'GET /api/throw' }])
  })

  it('is not reported for an error of the user', async () => {
    server.bugs.length = 0
    await problemOf(new BoardwrightError('not-found', 'No.'))
    expect(server.bugs).toEqual([])
  })
})

describe('JSON Pointers', () => {
  // The examples of RFC 6901, section 5, as far as they concern names.
  it.each([
    [['foo', 0], '/foo/0'],
    [[''], '/'],
    [['a/b'], '/a~1b'],
    [['m~n'], '/m~0n'],
    [['i\\j'], '/i\\j'],
    [[], ''],
  ])('%j is written %s', (path, pointer) => {
    expect(jsonPointer(path)).toBe(pointer)
  })
})
