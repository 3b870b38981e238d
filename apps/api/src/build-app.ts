import { BoardwrightError } from '@boardwright/core'
import { uploadLimits } from '@boardwright/core/contract'
import type { Workshop } from '@boardwright/core/workshop'
import multipart from '@fastify/multipart'
import Fastify, { type FastifyInstance } from 'fastify'
import { serializerCompiler } from 'fastify-type-provider-zod'
import { addDeskFiles } from './desk-files.ts'
import { addEventsRoute } from './events-route.ts'
import { zodValidator } from './invalid-request.ts'
import { addLoopbackGuard } from './loopback-guard.ts'
import { addOpenApi } from './open-api.ts'
import {
  addProblemReplies,
  type ReportBug,
  refuseBrokenHttp,
  reportBugToStderr,
  sendProblem,
} from './problem-replies.ts'
import { refuseOtherMethods } from './refuse-other-methods.ts'
import { addRoutes } from './routes.ts'
import { addSecurityHeaders } from './security-headers.ts'

export interface AppOptions {
  /** An open workshop; the app never closes it. */
  workshop: Workshop
  /** Name of the workshop, as the desk shows it. */
  workshopName: string
  /** Version of Boardwright. */
  version: string
  /** The desk's build; without one, pages say that it is not built. */
  deskFolder?: string
  /** How often the file is asked for changes of other programs while somebody listens, ms. */
  pollMs?: number
  /** How often a silent event stream is kept alive, ms. */
  heartbeatMs?: number
  /** Told about every bug (an error that is not in the catalogue); by default they go to standard error. */
  reportBug?: ReportBug
}

function emptyApp(reportBug: ReportBug): FastifyInstance {
  const app = Fastify({
    // Requests refused while closing get our problem document, not the library's.
    return503OnClosing: false,
    requestTimeout: 120_000,
    clientErrorHandler: refuseBrokenHttp,
    frameworkErrors: (error, request, reply) => {
      sendProblem(error, { request, reply, reportBug })
    },
  })
  app.setValidatorCompiler(zodValidator)
  app.setSerializerCompiler(serializerCompiler)
  let closing = false
  app.addHook('preClose', async () => {
    closing = true
  })
  app.addHook('onRequest', async () => {
    if (closing) throw new BoardwrightError('server-closing', 'The server is being stopped.')
  })
  return app
}

/** Builds the whole server (routes, live events, OpenAPI document, desk) without listening. */
export async function buildApp(options: AppOptions): Promise<FastifyInstance> {
  const { workshop, workshopName, version, reportBug = reportBugToStderr } = options
  const { pollMs = 200, heartbeatMs = 15_000 } = options
  const app = emptyApp(reportBug)
  addProblemReplies(app, reportBug)
  await addSecurityHeaders(app)
  addLoopbackGuard(app)
  const { bytesPerFile, files, fieldBytes } = uploadLimits
  await app.register(multipart, {
    limits: { fileSize: bytesPerFile, files, fieldSize: fieldBytes, fields: 8, parts: files + 8 },
  })
  const addRefusals = refuseOtherMethods(app)
  await addOpenApi(app, { version })
  addRoutes(app, { workshop, version, workshopName })
  addEventsRoute(app, { workshop, pollMs, heartbeatMs, reportBug })
  addRefusals()
  await addDeskFiles(app, options.deskFolder)
  return app
}
