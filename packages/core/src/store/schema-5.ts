/** Fifth schema: boards pressed hard. Released schemas never change: a change is a new migration. */
export const schema5 = `
`
