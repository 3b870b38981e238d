import { schema1 } from './schema-1.ts'
import { schema2 } from './schema-2.ts'
import { schema3 } from './schema-3.ts'
import { schema4 } from './schema-4.ts'
import { schema5 } from './schema-5.ts'
import { schema6 } from './schema-6.ts'
import { schema7 } from './schema-7.ts'

/** The steps from an empty file to the present schema; step n (from 1) leads to `user_version` n. */
export const migrations: readonly string[] = [schema1, schema2, schema3, schema4, schema5, schema6, schema7]
