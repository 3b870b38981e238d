import { eventsPath, routes } from '@boardwright/core/contract'
import { Validator } from '@seriousme/openapi-schema-validator'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openTestServer, type TestServer } from './test-server.ts'

interface Operation {
  operationId: string
  parameters?: { name: string; in: string; required?: boolean }[]
  requestBody?: { content: Record<string, { schema: Schema; encoding: object }> }
  responses: Record<string, { content: Record<string, { schema: Schema }>; headers?: object }>
}
interface Schema {
  $ref?: string
  required?: string[]
  properties?: Record<string, unknown>
  patternProperties?: Record<string, unknown>
}
interface Document {
  openapi: string
  paths: Record<string, Record<string, Operation>>
  components: { schemas: Record<string, Schema> }
}

let server: TestServer
let document: Document
beforeAll(async () => {
  server = await openTestServer()
  document = (await server.app.inject('/api/openapi.json')).json()
})
afterAll(() => server.close())

const braces = (path: string) => path.replace(/:(\w+)/g, '{$1}')

describe('the OpenAPI document', () => {
  it('is valid OpenAPI 3.1 by the schema that the OpenAPI Initiative publishes', async () => {
    expect(document.openapi).toBe('3.1.0')
    expect(await new Validator().validate({ ...structuredClone(document) })).toEqual({ valid: true })
  })

  it('describes every route of the contract and nothing else', () => {
    const described = Object.entries(document.paths).flatMap(([path, operations]) =>
      Object.keys(operations).map((method) => `${method.toUpperCase()} ${path}`),
    )
    const wanted = Object.values(routes).map(({ method, path }) => `${method} ${braces(path)}`)
    expect(described.sort()).toEqual([...wanted, `GET ${eventsPath}`].sort())
  })

  it.each(Object.entries(routes))('%s names its parameters, its reply and its problems', (id, route) => {
    const operation = document.paths[braces(route.path)][route.method.toLowerCase()]
    expect(operation.operationId).toBe(id)
    const names = (operation.parameters ?? []).map((parameter) => parameter.name).sort()
    const wanted = [
      ...('params' in route ? Object.keys(route.params.shape) : []),
      ...('query' in route ? Object.keys(route.query.shape) : []),
    ]
    expect(names).toEqual(wanted.sort())
    const success = operation.responses[route.method === 'POST' ? '201' : '200']
    expect(success.content['application/json'].schema).toBeDefined()
    for (const [status, response] of Object.entries(operation.responses))
      if (status >= '400')
        expect(response.content['application/problem+json'].schema.$ref).toBe('#/components/schemas/Problem')
  })

  it('describes the upload: its fields, a file for each setting, and where the run will be', () => {
    const operation = document.paths['/api/test-runs'].post
    const schema = operation.requestBody?.content['multipart/form-data'].schema
    expect(schema?.required).toEqual(['serial'])
    expect(Object.keys(schema?.properties ?? {})).toEqual(
      expect.arrayContaining(['serial', 'loopBackChannel', 'productId', 'setting.max', 'setting.min', 'sweep']),
    )
    const patterns = Object.keys(schema?.patternProperties ?? {})
    expect(new RegExp(patterns[0]).test('setting.bass-only')).toBe(true)
    expect(operation.responses[201].headers).toHaveProperty('Location')
  })

  it('has every schema that it refers to', () => {
    const references = [...JSON.stringify(document).matchAll(/"\$ref":"#\/components\/schemas\/([^"]+)"/g)]
    expect(references.length).toBeGreaterThan(10)
    for (const [, name] of references) expect(document.components.schemas).toHaveProperty(name)
  })
})
