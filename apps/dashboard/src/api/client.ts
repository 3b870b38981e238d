import { Problem, routes } from '@boardwright/core/contract'
import { fromProblem, type ProblemError, replyNotUnderstood, serverUnreachable } from './problem-error.ts'

type Routes = typeof routes
export type RouteName = keyof Routes

interface Schema {
  _zod: { output: unknown; input: unknown }
}
type Output<S> = S extends Schema ? S['_zod']['output'] : never
type Input<S> = S extends Schema ? S['_zod']['input'] : never

export type Reply<Name extends RouteName> = Output<Routes[Name]['reply']>

type ParamsOf<Name extends RouteName> = Routes[Name] extends { params: infer P }
  ? { params: Input<P> }
  : { params?: undefined }
type QueryOf<Name extends RouteName> = Routes[Name] extends { query: infer Q }
  ? { query?: Input<Q> }
  : { query?: undefined }
type BodyOf<Name extends RouteName> = Routes[Name]['method'] extends 'POST' ? { body: FormData } : { body?: undefined }

export type Call<Name extends RouteName> = ParamsOf<Name> & QueryOf<Name> & BodyOf<Name> & { signal?: AbortSignal }

/** Puts params into the path of a route and adds the query; empty values are left out. */
export function addressOf(
  path: string,
  { params = {}, query = {} }: { params?: Record<string, unknown>; query?: Record<string, unknown> },
): string {
  const filled = path.replace(/:(\w+)/g, (_, key: string) => encodeURIComponent(String(params[key] ?? '')))
  const search = new URLSearchParams()
  for (const [key, value] of Object.entries(query))
    if (value !== undefined && value !== '') search.set(key, String(value))
  return search.size === 0 ? filled : `${filled}?${search}`
}

async function problemOf(response: Response): Promise<ProblemError> {
  const text = await response.text()
  try {
    return fromProblem(Problem.parse(JSON.parse(text)))
  } catch (cause) {
    // A gateway between desk and server answers in its own words: for the maker that is a server out of reach.
    return response.status >= 502 && response.status <= 504 ? serverUnreachable(cause) : replyNotUnderstood(cause)
  }
}

/**
 * Calls a route of the contract and gives its reply, validated. Throws a ProblemError: the server's own problem, or
 * `server-unreachable`, or `reply-not-understood`.
 */
export async function call<Name extends RouteName>(name: Name, options: Call<Name>): Promise<Reply<Name>> {
  const route = routes[name]
  const { params, query, body, signal } = options as {
    params?: Record<string, unknown>
    query?: Record<string, unknown>
    body?: FormData
    signal?: AbortSignal
  }
  let response: Response
  try {
    response = await fetch(addressOf(route.path, { params, query }), {
      method: route.method,
      body,
      signal,
      headers: { accept: 'application/json' },
    })
  } catch (cause) {
    if (signal?.aborted) throw cause
    throw serverUnreachable(cause)
  }
  if (!response.ok) throw await problemOf(response)
  try {
    return route.reply.parse(await response.json()) as Reply<Name>
  } catch (cause) {
    throw replyNotUnderstood(cause)
  }
}
