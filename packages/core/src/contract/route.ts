import { z } from 'zod'
import type { ErrorCode } from '../model/error.ts'

/** A key in a path. */
export const Id = z.string().min(1).max(64)

/** What the table of routes holds for each of them. */
export interface Route {
  method: 'GET' | 'POST'
  /** Path with `:name` where a parameter stands. */
  path: string
  summary: string
  params?: z.ZodObject
  query?: z.ZodObject
  /** JSON body. */
  body?: z.ZodObject
  reply: z.ZodObject
  problems: readonly ErrorCode[]
}
