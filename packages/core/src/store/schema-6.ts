/** Sixth schema: checksums of stored arrays. Released schemas never change: a change is a new migration. */
export const schema6 = `
`
