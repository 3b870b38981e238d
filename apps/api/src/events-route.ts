import { eventsPath, LiveEvent, LiveEventHeaders, LiveEventQuery } from '@boardwright/core/contract'
import type { Workshop } from '@boardwright/core/workshop'
import type { FastifyInstance } from 'fastify'
import { problemResponses } from './add-route.ts'
import { parsePart } from './invalid-request.ts'
import { liveEvents } from './live-events.ts'
import type { ReportBug } from './problem-replies.ts'

/** Adds GET /api/events: server-sent events, ended when the app begins to close, so that closing never hangs on them. */
export function addEventsRoute(
  app: FastifyInstance,
  what: { workshop: Workshop; pollMs: number; heartbeatMs: number; reportBug: ReportBug },
): void {
  const { workshop, pollMs, heartbeatMs, reportBug } = what
  const onError = (error: unknown) => reportBug({ error, request: 'live events' })
  const events = liveEvents({ source: workshop, pollMs, heartbeatMs, onError })
  app.addHook('preClose', async () => events.end())
  app.route({
    method: 'GET',
    url: eventsPath,
    // HEAD would open a stream that nobody reads.
    exposeHeadRoute: false,
    schema: {
      operationId: 'events',
      summary: 'Live events: one `change` per journal entry, as server-sent events',
      querystring: LiveEventQuery,
      response: {
        200: {
          description:
            'Server-sent events; `id` is the journal number, the data of each `change` is a LiveEvent in JSON',
          content: { 'text/event-stream': { schema: LiveEvent } },
        },
        ...problemResponses([]),
      },
    },
    handler: (request, reply) => {
      const asked = parsePart(LiveEventHeaders, request.headers, 'headers')['last-event-id']
      const after = asked ?? (request.query as { after?: number }).after
      // A number beyond the journal's end is from another workshop file: begin with the next change.
      const last = workshop.lastSeq()
      reply.hijack()
      // `close`: a connection that went back to keep-alive after the stream's end would hold up the closing of the server.
      const head = { 'content-type': 'text/event-stream', 'cache-control': 'no-store', connection: 'close' }
      reply.raw.writeHead(200, head)
      reply.raw.write('retry: 1000\n\n')
      events.add({ stream: reply.raw, after: after === undefined || after > last ? last : after })
    },
  })
}
