import { BoardwrightError } from '@boardwright/core'
import type { FastifySchemaCompiler } from 'fastify'
import type { z } from 'zod'

/** One wrong part of a request; `pointer` is a JSON Pointer into `{ params, query, headers, body }`. */
interface WrongPart {
  pointer: string
  message: string
}

/** A request that does not keep the contract, with every part that is wrong. */
export class InvalidRequest extends BoardwrightError {
  readonly parts: readonly WrongPart[]

  constructor(parts: readonly [WrongPart, ...WrongPart[]]) {
    const [first, ...more] = parts
    const others = more.length === 0 ? '' : ` (and ${more.length} more, see errors)`
    // A mistyped or misread label is the usual mistake: it keeps its own code and remedy wherever it stands.
    const code = more.length === 0 && first.pointer.endsWith('/serial') ? 'bad-serial' : 'bad-request'
    super(code, `The request is wrong at ${first.pointer}: ${first.message}${others}.`)
    this.parts = parts
  }
}

/** JSON Pointer of a path (RFC 6901, section 3: `~` and `/` inside a name are escaped). */
export const jsonPointer = (path: readonly PropertyKey[]): string =>
  path.map((token) => `/${String(token).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')

/**
 * Parses `data` by `schema`; throws InvalidRequest with one part per issue.
 *
 * @param place where the data stood in the request: `params`, `query`, `headers` or `body`
 */
export function parsePart<S extends z.ZodType>(schema: S, data: unknown, place: string): z.output<S> {
  const parsed = schema.safeParse(data)
  if (parsed.success) return parsed.data
  const [first, ...more] = parsed.error.issues.map((issue) => ({
    pointer: jsonPointer([place, ...issue.path]),
    message: issue.message,
  }))
  throw new InvalidRequest([first, ...more])
}

/** Fastify's validator made of the contract's schemas: parsed data in, every wrong part named. */
export const zodValidator: FastifySchemaCompiler<z.ZodType> = ({ schema, httpPart }) => {
  const place = httpPart === 'querystring' ? 'query' : (httpPart ?? 'body')
  return (data) => {
    try {
      return { value: parsePart(schema, data, place) }
    } catch (error) {
      return { error: error as Error }
    }
  }
}
