import { schema1 } from './schema-1.ts'
import { schema2 } from './schema-2.ts'

/** The steps from an empty file to the present schema; step n (from 1) leads to `user_version` n. */
export const migrations: readonly string[] = [schema1, schema2]
