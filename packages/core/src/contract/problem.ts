import { z } from 'zod'

/** Problem details of RFC 9457; `code` is the key of the error catalogue, clients switch on it. */
export const Problem = z.object({
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  detail: z.string(),
  instance: z.string().optional(),
  code: z.string(),
  remedy: z.string(),
  /** Which parts of the request were wrong, as JSON Pointers. */
  errors: z.array(z.object({ pointer: z.string(), message: z.string() })).optional(),
})
export type Problem = z.infer<typeof Problem>
