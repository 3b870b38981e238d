import { z } from 'zod'

/**
 * Problem details of RFC 9457, the body of every error reply. `code` is a key of the error catalogue: clients switch on
 * it, never on a text. `type` is the address of that code's description (a path on the same server).
 */
export const Problem = z.object({
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  detail: z.string(),
  instance: z.string().optional(),
  code: z.string(),
  remedy: z.string(),
  /**
   * Which parts of the request were wrong, as JSON Pointers (RFC 6901) into `{ params, query, headers, body }`:
   * `/query/state`, `/params/serial`, `/body/setting.max`.
   */
  errors: z.array(z.object({ pointer: z.string(), message: z.string() })).optional(),
})
export type Problem = z.infer<typeof Problem>
export const problemMediaType = 'application/problem+json'

/** What is always true of an error code. */
export const ProblemKind = z.object({
  code: z.string(),
  title: z.string(),
  status: z.number().int(),
  remedy: z.string(),
})
export type ProblemKind = z.infer<typeof ProblemKind>
