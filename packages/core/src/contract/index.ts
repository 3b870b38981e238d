// The contract between the API and its clients: pure, safe in a browser.

export * from './gauge-study-routes.ts'
export * from './hard-routes.ts'
export * from './live-event.ts'
export * from './problem.ts'
export * from './rig-check-routes.ts'
export type { Route } from './route.ts'
export * from './routes.ts'
export * from './test-run-upload.ts'
