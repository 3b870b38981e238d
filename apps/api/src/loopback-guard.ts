import { BoardwrightError } from '@boardwright/core'
import type { FastifyInstance } from 'fastify'

const reading = new Set(['GET', 'HEAD', 'OPTIONS'])

/** Name of a Host header without its port: `[::1]:4600` gives `[::1]`. */
const hostName = (host: string): string => host.replace(/:\d+$/, '').toLowerCase()

/** True for a name that always means this computer (RFC 6761, section 6.3, and the loopback addresses). */
export const isLoopbackName = (name: string): boolean =>
  name === 'localhost' || name === '[::1]' || name === '::1' || /^127(\.\d{1,3}){3}$/.test(name)

/**
 * There are no logins, so only pages of this server on this computer may use it. A web page elsewhere can make its own
 * name point to 127.0.0.1 (DNS rebinding): its requests carry that name as Host. A web page elsewhere can also send a
 * form here: that carries its Origin.
 */
export function addLoopbackGuard(app: FastifyInstance): void {
  app.addHook('onRequest', async (request) => {
    const host = request.headers.host ?? ''
    if (!isLoopbackName(hostName(host)))
      throw new BoardwrightError(
        'host-not-allowed',
        `This server answers to names of this computer only, not to "${host}".`,
      )
    const { origin } = request.headers
    if (origin === undefined || reading.has(request.method)) return
    if (origin.toLowerCase() !== `${request.protocol}://${host}`.toLowerCase())
      throw new BoardwrightError(
        'foreign-origin',
        `A web page of ${origin} tried to change the workshop at ${host}; that is refused.`,
      )
  })
}
