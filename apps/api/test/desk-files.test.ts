import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openTestServer, type TestServer } from './test-server.ts'

const folder = mkdtempSync(join(tmpdir(), 'boardwright-desk-'))
const deskFolder = join(folder, 'dist')
let server: TestServer
const get = (url: string) => server.app.inject(url)

beforeAll(async () => {
  writeFileSync(join(folder, 'secret.txt'), 'outside of the desk')
  server = await openTestServer({ deskFolder })
})
afterAll(async () => {
  await server.close()
  rmSync(folder, { recursive: true })
})

describe('the desk', () => {
  it('says that it is not built, as long as it is not', async () => {
    for (const url of ['/', '/units/PLV-0001', '/assets/index-1a2b3c.js']) {
      const reply = await get(url)
      expect(reply.statusCode).toBe(503)
      expect(reply.headers['content-type']).toBe('text/html; charset=utf-8')
      expect(reply.body).toContain('not built')
    }
  })

  it('is served once it is there, every page of it from index.html', async () => {
    mkdirSync(join(deskFolder, 'assets'), { recursive: true })
    writeFileSync(join(deskFolder, 'index.html'), '<!doctype html><title>Desk</title>')
    writeFileSync(join(deskFolder, 'assets', 'index-1a2b3c.js'), 'export {}')
    for (const url of ['/', '/units', '/units/PLV-0001?run=1']) {
      const reply = await get(url)
      expect(reply.statusCode).toBe(200)
      expect(reply.body).toContain('<title>Desk')
      expect(reply.headers['cache-control']).toBe('public, max-age=0')
    }
  })

  it('lets files with a hash in their name be kept for good', async () => {
    const reply = await get('/assets/index-1a2b3c.js')
    expect(reply.headers['cache-control']).toBe('public, max-age=31536000, immutable')
    expect(reply.headers['content-type']).toContain('javascript')
  })

  it('has a problem document, not a page, for a file that is missing', async () => {
    const reply = await get('/assets/index-gone.js')
    expect(reply.statusCode).toBe(404)
    expect(reply.json().code).toBe('not-found')
  })

  it.each([
    '/../secret.txt',
    '/assets/../../secret.txt',
    '/..%2fsecret.txt',
    '/%2e%2e/secret.txt',
    '/assets/..%5c..%5csecret.txt',
  ])('gives nothing from outside its folder: %s', async (url) => {
    const reply = await get(url)
    expect(reply.body).not.toContain('outside of the desk')
    expect(reply.statusCode).toBeGreaterThanOrEqual(400)
    expect(reply.headers['content-type']).toBe('application/problem+json')
  })

  it('lets a page load and run nothing but its own files', async () => {
    const policy = String((await get('/')).headers['content-security-policy'])
    expect(policy).toContain("default-src 'none'")
    expect(policy).toContain("script-src 'self'")
    expect(policy).toContain("connect-src 'self'")
    expect(policy).not.toMatch(/unsafe|data:|\*|http/)
    expect((await get('/')).headers).not.toHaveProperty('strict-transport-security')
  })
})
