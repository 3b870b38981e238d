import { BoardwrightError } from '@boardwright/core'
import type { FastifyInstance, HTTPMethods } from 'fastify'

const methods: readonly HTTPMethods[] = ['DELETE', 'GET', 'HEAD', 'OPTIONS', 'PATCH', 'POST', 'PUT']

/**
 * Collects the routes that are added from now on. The function it gives adds, for each of their paths, an answer to
 * every other method: 405 with an Allow header (RFC 9110, section 15.5.6).
 */
export function refuseOtherMethods(app: FastifyInstance): () => void {
  const known = new Map<string, Set<HTTPMethods>>()
  app.addHook('onRoute', ({ url, method }) => {
    if (!url.startsWith('/api/')) return
    const set = known.get(url) ?? new Set()
    for (const one of [method].flat()) set.add(one as HTTPMethods)
    known.set(url, set)
  })
  return () => {
    for (const [url, allowed] of [...known]) {
      const names = [...allowed].sort().join(', ')
      app.route({
        method: methods.filter((method) => !allowed.has(method)),
        url,
        schema: { hide: true },
        // In onRequest, so that a body of whatever format is not even read.
        onRequest: async (request, reply) => {
          reply.header('allow', names)
          throw new BoardwrightError('method-not-allowed', `${request.method} is not possible here, only ${names}.`)
        },
        handler: async () => undefined,
      })
    }
  }
}
