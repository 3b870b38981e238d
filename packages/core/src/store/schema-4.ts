/** Fourth schema: rig checks and gauge studies. Released schemas never change: a change is a new migration. */
export const schema4 = `
`
