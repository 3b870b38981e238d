import {
  Diagnosis,
  DiagnosisFigures,
  Distortion,
  Finding,
  JournalEntry,
  Judgement,
  Product,
  Reference,
  ResponseCurve,
  Rework,
  RunDiagnosis,
  SettingMeasurement,
  SweepSettings,
  TestRun,
  TestRunSummary,
  Unit,
} from '@boardwright/core'
import {
  eventsPath,
  Health,
  LiveEvent,
  openApiPath,
  Problem,
  ProblemKind,
  routes,
  TestRunDetail,
  UnitDetail,
  UnitRow,
} from '@boardwright/core/contract'
import swagger from '@fastify/swagger'
import type { FastifyInstance } from 'fastify'
import { createJsonSchemaTransform, createJsonSchemaTransformObject } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { testRunUploadBody } from './upload-description.ts'

/** Schemas that stand once, by name, in the document. */
function namedSchemas() {
  const registry = z.registry<{ id: string }>()
  const named = {
    ...{ Distortion, Finding, Health, JournalEntry, Judgement, LiveEvent, Problem, ProblemKind, Product, Reference },
    ...{ ResponseCurve, SettingMeasurement, SweepSettings, TestRun, TestRunDetail, TestRunSummary, Unit, UnitDetail },
    ...{ UnitRow, Diagnosis, DiagnosisFigures, Rework, RunDiagnosis },
  }
  for (const [id, schema] of Object.entries(named)) registry.add(schema, { id })
  return registry
}

type Document = ReturnType<ReturnType<typeof createJsonSchemaTransformObject>>

/** Adds what no schema of a route says: the multipart body, and the header of the live events. */
function complete(document: Document): Document {
  const { paths, components } = document as { paths: Record<string, Record<string, object>>; components: Components }
  const add = paths[routes.addTestRun.path].post
  const location = { description: 'Address of the new test run', schema: { type: 'string', format: 'uri-reference' } }
  const { responses } = add as { responses: Record<string, object> }
  responses[201] = { ...responses[201], headers: { Location: location } }
  Object.assign(add, { requestBody: testRunUploadBody() })
  const events = paths[eventsPath].get as { parameters?: object[] }
  events.parameters = [
    ...(events.parameters ?? []),
    {
      name: 'Last-Event-ID',
      in: 'header',
      required: false,
      description: 'Journal number after which to begin; a browser sends it when it reconnects',
      schema: { type: 'integer', minimum: 0 },
    },
  ]
  // Every schema is made twice, as input and as output; the API takes none of the named ones in.
  components.schemas = Object.fromEntries(
    Object.entries(components.schemas).filter(([name]) => !name.endsWith('Input')),
  )
  return document
}
interface Components {
  schemas: Record<string, object>
}

/** Makes the OpenAPI 3.1 document from the schemas of every route added after this, and serves it. */
export async function addOpenApi(app: FastifyInstance, what: { version: string }): Promise<void> {
  const schemaRegistry = namedSchemas()
  const transformObject = createJsonSchemaTransformObject({ schemaRegistry })
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Boardwright',
        version: what.version,
        description: 'Units, test runs and references of one workshop. Every error is a problem document (RFC 9457).',
        license: { name: 'see the project' },
      },
      servers: [{ url: '/', description: 'This server' }],
    },
    transform: createJsonSchemaTransform({ schemaRegistry }),
    transformObject: (document) => complete(transformObject(document)),
  })
  let text: string | undefined
  app.get(openApiPath, { schema: { hide: true } }, (_request, reply) => {
    text ??= JSON.stringify(app.swagger())
    return reply.type('application/json').header('cache-control', 'no-cache').send(text)
  })
}
