// The contract between the API and its clients: pure, safe in a browser.
export * from './problem.ts'
export * from './routes.ts'
