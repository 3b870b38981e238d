import { existsSync } from 'node:fs'
import { join, resolve } from 'node:path'
import fastifyStatic from '@fastify/static'
import type { FastifyInstance } from 'fastify'

const notBuilt = `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Boardwright: the desk is not built</title></head>
<body><main><h1>The desk is not built</h1>
<p>The server is up, but its web page has not been built yet. In the project's folder run <code>npm run build</code>, then
load this page again.</p>
<p>The data can be read meanwhile: <a href="/api/units">units</a>, <a href="/api/openapi.json">description of the
API</a>.</p></main></body></html>
`

/** A path of the single-page desk rather than of a file: its last segment has no extension. */
const isPage = (path: string): boolean => !/\.[^/]*$/.test(path)

/**
 * Serves the desk's built files for every path outside /api. Its pages (`/units/PLV-0042`) are all index.html, which is
 * always asked for anew; files under /assets carry a hash of their content in their name and never change.
 *
 * @param folder the desk's build; may come into being while the server runs
 */
export async function addDeskFiles(app: FastifyInstance, folder: string | undefined): Promise<void> {
  await app.register(fastifyStatic, { serve: false })
  const root = folder === undefined ? undefined : resolve(folder)
  app.get('/*', { schema: { hide: true } }, (request, reply) => {
    const path = request.url.split('?')[0]
    if (path === '/api' || path.startsWith('/api/')) return reply.callNotFound()
    if (root === undefined || !existsSync(join(root, 'index.html')))
      return reply.code(503).header('cache-control', 'no-store').type('text/html; charset=utf-8').send(notBuilt)
    if (isPage(path)) return reply.sendFile('index.html', root, { maxAge: 0 })
    const hashed = path.startsWith('/assets/')
    return reply.sendFile(path, root, hashed ? { maxAge: '365d', immutable: true } : { maxAge: 0 })
  })
}
