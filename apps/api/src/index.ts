export { type AppOptions, buildApp } from './build-app.ts'
export { type RunningServer, type ServerOptions, startServer } from './start-server.ts'
