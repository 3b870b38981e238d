import { type ErrorCode, errorCatalogue } from '@boardwright/core'
import { Problem, problemMediaType, type Route } from '@boardwright/core/contract'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { z } from 'zod'

type Parsed<R, K extends 'params' | 'query' | 'body'> = R extends { [key in K]: infer S extends z.ZodType }
  ? z.output<S>
  : undefined

/** What a handler gets: the parsed parts of the request, and the request itself for what is no JSON. */
interface RouteRequest<R extends Route> {
  params: Parsed<R, 'params'>
  query: Parsed<R, 'query'>
  body: Parsed<R, 'body'>
  raw: FastifyRequest
}

type Handler<R extends Route> = (
  request: RouteRequest<R>,
  reply: FastifyReply,
) => z.output<R['reply']> | Promise<z.output<R['reply']>>

const everywhere: readonly ErrorCode[] = ['bad-request', 'file-busy', 'host-not-allowed', 'internal', 'server-closing']

/** Response schemas by status of the problems that a route can answer with, each status naming its codes. */
export function problemResponses(codes: readonly ErrorCode[]): Record<string, object> {
  const byStatus = new Map<number, ErrorCode[]>()
  for (const code of [...everywhere, ...codes]) {
    const { status } = errorCatalogue[code]
    byStatus.set(status, [...(byStatus.get(status) ?? []), code])
  }
  return Object.fromEntries(
    [...byStatus].map(([status, list]) => [
      status,
      {
        description: `Problem details; code ${list.map((code) => `\`${code}\``).join(' or ')}`,
        content: { [problemMediaType]: { schema: Problem } },
      },
    ]),
  )
}

const success = (route: Route) => ({
  description: route.summary,
  content: { 'application/json': { schema: route.reply } },
})

/** Adds a route of the contract: request and reply are checked by its schemas and described in the OpenAPI document. */
export function addRoute<R extends Route>(
  app: FastifyInstance,
  what: { id: string; route: R; handler: Handler<R>; status?: 200 | 201 },
): void {
  const { route, handler, status = 200 } = what
  const changes: readonly ErrorCode[] = route.method === 'GET' ? [] : ['disk-full', 'foreign-origin']
  const ofBody: readonly ErrorCode[] = route.body === undefined ? [] : ['too-large', 'unsupported-media-type']
  app.route({
    method: route.method,
    url: route.path,
    schema: {
      operationId: what.id,
      summary: route.summary,
      ...(route.params === undefined ? {} : { params: route.params }),
      ...(route.query === undefined ? {} : { querystring: route.query }),
      ...(route.body === undefined ? {} : { body: route.body }),
      response: { [status]: success(route), ...problemResponses([...changes, ...ofBody, ...route.problems]) },
    },
    handler: (request, reply) => {
      reply.code(status).header('cache-control', 'no-store')
      const { params, query, body } = request
      return handler({ params: params as never, query: query as never, body: body as never, raw: request }, reply)
    },
  })
}
