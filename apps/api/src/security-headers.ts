import helmet from '@fastify/helmet'
import type { FastifyInstance } from 'fastify'

/**
 * Headers that keep a page to this server's own files: no inline script, no foreign frame, no foreign address. The chart
 * sets its sizes through the style object of elements, which a style policy of 'self' allows. Plain HTTP on loopback has no
 * certificate, so nothing here may ask for HTTPS.
 */
export async function addSecurityHeaders(app: FastifyInstance): Promise<void> {
  const self = ["'self'"]
  const none = ["'none'"]
  await app.register(helmet, {
    strictTransportSecurity: false,
    referrerPolicy: { policy: 'no-referrer' },
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: none,
        scriptSrc: self,
        styleSrc: self,
        imgSrc: self,
        fontSrc: self,
        connectSrc: self,
        manifestSrc: self,
        baseUri: none,
        formAction: self,
        frameAncestors: none,
        objectSrc: none,
      },
    },
  })
}
