/** Third schema: settings of rigs. Released schemas never change: a change is a new migration. */
export const schema3 = `
`
