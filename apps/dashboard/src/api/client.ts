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
/** A route with a body in the contract takes JSON; the other POST routes take a form with files. */
type BodyOf<Name extends RouteName> = Routes[Name] extends { body: infer B }
  ? { body: Input<B> }
  : Routes[Name]['method'] extends 'POST'
    ? { body: FormData }
    : { body?: undefined }

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

/** A form goes as it is, with the boundary that the browser chooses; anything else as JSON. */
function carried(body: unknown): Pick<RequestInit, 'body' | 'headers'> {
  const accept = 'application/json'
  if (body === undefined || body instanceof FormData) return { body, headers: { accept } }
  return { body: JSON.stringify(body), headers: { accept, 'content-type': accept } }
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
    body?: unknown
    signal?: AbortSignal
  }
  let response: Response
  try {
    response = await fetch(addressOf(route.path, { params, query }), {
      method: route.method,
      signal,
      ...carried(body),
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
