/** Seventh schema: parts, lots, stock movements, builds and their work steps. Released schemas never change: a change is a new migration. */
export const schema7 = `
`
