import { schema1 } from './schema-1.ts'

/** The steps from an empty file to the present schema; step n (from 1) leads to `user_version` n. */
export const migrations: readonly string[] = [schema1]
