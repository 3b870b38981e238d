import { afterEach, beforeEach, expect } from 'vitest'
import { type RunningServer, startServer } from '../src/index.ts'
import { openTestWorkshop } from './test-server.ts'

/**
 * Before each test a server that listens on a port of its own, on a workshop file of its own; after each it is closed and
 * no bug may have been reported. The long grace makes a test hang whose server waits for a connection.
 */
export function listeningServer() {
  const bugs: unknown[] = []
  const now = {} as { opened: ReturnType<typeof openTestWorkshop>; server: RunningServer }
  const start = (options: { port?: number; graceMs?: number } = {}) =>
    startServer({
      workshop: now.opened.workshop,
      workshopName: 'Fernhollow Audio',
      version: '0.1.0-test',
      port: 0,
      graceMs: 100_000,
      pollMs: 20,
      heartbeatMs: 50,
      reportBug: (bug) => bugs.push(bug),
      ...options,
    })
  beforeEach(async () => {
    now.opened = openTestWorkshop()
    now.server = await start()
  })
  afterEach(async () => {
    await now.server.close()
    now.opened.close()
    expect(bugs.splice(0)).toEqual([])
  })
  return { now, start }
}
