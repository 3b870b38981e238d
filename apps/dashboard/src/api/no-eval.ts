import { config } from 'zod'

// Must be imported before any schema: otherwise zod tries out `new Function`, which the content security policy of the
// server reports as a violation on every start.
config({ jitless: true })
