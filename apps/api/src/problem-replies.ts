import type { Duplex } from 'node:stream'
import { inspect } from 'node:util'
import { BoardwrightError } from '@boardwright/core'
import { problemMediaType } from '@boardwright/core/contract'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { problemOf } from './problem.ts'

/** Told about a bug: what was thrown, and by which request. */
export type ReportBug = (what: { error: unknown; request: string }) => void

/** Writes a bug with its stack to standard error, where the maker can copy it from. */
export const reportBugToStderr: ReportBug = ({ error, request }) => {
  // `inspect` shows the stack, and the cause below it.
  process.stderr.write(`boardwright: a bug while answering ${request}\n${inspect(error)}\n`)
}

/** Answers with the problem document of `error`; bugs are reported besides. */
export function sendProblem(
  error: unknown,
  to: { request: FastifyRequest; reply: FastifyReply; reportBug: ReportBug },
): FastifyReply {
  const { request, reply } = to
  const instance = request.url.split('?')[0]
  const problem = problemOf(error, { instance })
  if (problem.code === 'internal') to.reportBug({ error, request: `${request.method} ${instance}` })
  // Own serializer: a reply about a broken schema must not depend on a schema.
  return reply
    .code(problem.status)
    .header('cache-control', 'no-store')
    .type(problemMediaType)
    .serializer((body: unknown) => JSON.stringify(body))
    .send(problem)
}

/** Every error of the app, known or not, becomes a problem document. */
export function addProblemReplies(app: FastifyInstance, reportBug: ReportBug): void {
  app.setErrorHandler((error, request, reply) => sendProblem(error, { request, reply, reportBug }))
  app.setNotFoundHandler((request, reply) => {
    const error = new BoardwrightError(
      'not-found',
      `There is nothing at ${request.method} ${request.url.split('?')[0]}.`,
    )
    return sendProblem(error, { request, reply, reportBug })
  })
}

const unreadable: Record<string, string> = {
  HPE_HEADER_OVERFLOW: 'The headers of the request are too large.',
  ERR_HTTP_REQUEST_TIMEOUT: 'The request took too long to arrive.',
}

/** Answer to bytes that are no HTTP request at all: there is no request and no reply yet, only the socket. */
export function refuseBrokenHttp(error: Error & { code?: string }, socket: Duplex): void {
  if (error.code === 'ECONNRESET' || !socket.writable) return
  const detail = unreadable[error.code ?? ''] ?? 'What was sent is not a readable HTTP request.'
  const problem = problemOf(new BoardwrightError('bad-request', detail))
  const body = JSON.stringify(problem)
  socket.end(
    `HTTP/1.1 ${problem.status} Bad Request\r\nContent-Type: ${problemMediaType}\r\n` +
      `Content-Length: ${Buffer.byteLength(body)}\r\nConnection: close\r\n\r\n${body}`,
  )
}
