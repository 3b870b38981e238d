import { connect, type Socket } from 'node:net'
import { isBoardwrightError } from '@boardwright/core'
import { AddedTestRun, Problem } from '@boardwright/core/contract'
import { describe, expect, it } from 'vitest'
import { startServer } from '../src/index.ts'
import { listeningServer } from './listening-server.ts'
import { board, reference } from './test-recordings.ts'

const { now, start } = listeningServer()

const say = (text: string) =>
  new Promise<string>((resolve, reject) => {
    const socket: Socket = connect(now.server.port, '127.0.0.1', () => socket.write(text))
    let answer = ''
    socket.on('data', (bytes) => {
      answer += bytes
    })
    socket.on('close', () => resolve(answer))
    socket.on('error', reject)
  })

describe('a real server', () => {
  it('answers at its address', async () => {
    const reply = await fetch(`${now.server.url}/api/health`)
    expect(await reply.json()).toMatchObject({ ok: true, name: 'boardwright', workshop: 'Fernhollow Audio' })
  })

  it('takes recordings, judges them and tells the listeners', async () => {
    const { workshop, product } = now.opened
    workshop.addReference({ recordings: [1, 2].flatMap((noiseSeed) => reference({ product, noiseSeed })) })
    const events = await fetch(`${now.server.url}/api/events`)
    const reader = (events.body as ReadableStream<Uint8Array>).getReader()
    await reader.read()
    const form = new FormData()
    form.append('serial', 'PLV-0001')
    for (const [i, setting] of product.testPlan.settings.entries())
      form.append(`setting.${setting}`, new Blob([new Uint8Array(board({ product, noiseSeed: 3 + i }))]), 'board.wav')
    const reply = await fetch(`${now.server.url}/api/test-runs`, { method: 'POST', body: form })
    expect(reply.status).toBe(201)
    const added = AddedTestRun.parse(await reply.json())
    expect(added.run.verdict).toBe('pass')
    let told = ''
    while (!told.includes(added.run.id)) told += new TextDecoder().decode((await reader.read()).value)
    const again = await fetch(now.server.url + reply.headers.get('location'))
    expect(await again.json()).toMatchObject({ run: added.run })
  })

  it('answers bytes that are no HTTP with a problem document', async () => {
    const [head, body] = (await say('this is no request\r\n\r\n')).split('\r\n\r\n')
    expect(head).toContain('HTTP/1.1 400 Bad Request')
    expect(head).toContain('application/problem+json')
    expect(Problem.parse(JSON.parse(body)).code).toBe('bad-request')
  })

  it('answers headers beyond all measure with a problem document', async () => {
    const answer = await say(`GET / HTTP/1.1\r\nHost: localhost\r\nX: ${'x'.repeat(70_000)}\r\n\r\n`)
    expect(answer).toContain('headers of the request are too large')
  })

  it('answers a request without a Host, and a path that climbs', async () => {
    expect(await say('GET /api/health HTTP/1.0\r\n\r\n')).toContain('"host-not-allowed"')
    const climbing = await say('GET /../../etc/passwd HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n')
    expect(climbing).not.toContain('root:')
  })

  it('closes although an upload hangs in the middle', async () => {
    await now.server.close()
    now.server = await start({ graceMs: 50 })
    const head = 'POST /api/test-runs HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100000\r\n'
    const hanging = say(`${head}Content-Type: multipart/form-data; boundary=x\r\n\r\n--x\r\n`)
    await fetch(`${now.server.url}/api/health`)
    await now.server.close()
    await hanging.catch(() => undefined)
    await expect(fetch(`${now.server.url}/api/health`)).rejects.toThrow()
  })

  it('closes although a browser has opened a connection ahead of need', async () => {
    const ended = new Promise((resolve) => {
      const socket = connect(now.server.port, '127.0.0.1', () => resolve(new Promise((end) => socket.on('close', end))))
      socket.resume()
    })
    await fetch(`${now.server.url}/api/health`)
    await now.server.close()
    await ended
  })

  it('refuses an upload that is too large while it is still being sent', async () => {
    const form = new FormData()
    form.append('serial', 'PLV-0001')
    form.append('setting.max', new Blob([new Uint8Array(65_000_000)]), 'long.wav')
    const reply = await fetch(`${now.server.url}/api/test-runs`, { method: 'POST', body: form })
    expect(reply.status).toBe(413)
    expect(Problem.parse(await reply.json())).toMatchObject({ code: 'too-large' })
  })

  it('names a port that is in use', async () => {
    const error = await start({ port: now.server.port }).catch((e: unknown) => e)
    expect(isBoardwrightError(error) && error.code).toBe('port-in-use')
  })

  it('binds to this computer only, as there are no logins', async () => {
    const { workshop } = now.opened
    const options = { workshop, workshopName: 'x', version: 'x', port: 0 }
    for (const host of ['0.0.0.0', '::', '192.168.1.7', 'example.org']) {
      const error = await startServer({ ...options, host }).catch((e: unknown) => e)
      expect(isBoardwrightError(error) && error.code).toBe('bad-argument')
    }
    const local = await startServer({ ...options, host: 'localhost' })
    expect((await fetch(`${local.url}/api/health`)).status).toBe(200)
    await local.close()
  })
})
