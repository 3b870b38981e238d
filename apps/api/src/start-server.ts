import type { Server } from 'node:http'
import type { AddressInfo, Socket } from 'node:net'
import { BoardwrightError } from '@boardwright/core'
import { type AppOptions, buildApp } from './build-app.ts'
import { isLoopbackName } from './loopback-guard.ts'

export interface ServerOptions extends AppOptions {
  /** A name or address of this computer. */
  host?: string
  /** 0 takes any free port. */
  port: number
  /** How long running requests may take to finish when the server is closed, ms. */
  graceMs?: number
}

export interface RunningServer {
  /** Where it answers, such as http://127.0.0.1:4600 */
  url: string
  port: number
  /** Ends live streams, lets running requests finish (2 s at most unless told) and stops. */
  close(): Promise<void>
}

/**
 * Remembers the connections of a server; the function it gives ends those that have not sent a byte yet. Browsers open such
 * connections ahead of need, and Node's own closing waits for them.
 */
function unusedConnections(server: Server): () => void {
  const sockets = new Set<Socket>()
  server.on('connection', (socket) => {
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
  })
  return () => {
    for (const socket of sockets) if (socket.bytesRead === 0) socket.destroy()
  }
}

function explainListenError(error: NodeJS.ErrnoException, where: { host: string; port: number }): unknown {
  const { host, port } = where
  if (error.code === 'EADDRINUSE')
    return new BoardwrightError('port-in-use', `Port ${port} on ${host} is used by another program.`, { cause: error })
  if (error.code === 'EACCES')
    return new BoardwrightError('bad-argument', `This user may not open port ${port}; take one above 1023.`, {
      cause: error,
    })
  return error
}

/**
 * Starts the server. There are no logins, so it binds to loopback only.
 *
 * Errors: bad-argument (an address that others can reach; a port that may not be opened), port-in-use.
 */
export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const { host = '127.0.0.1', port, graceMs = 2000, ...appOptions } = options
  if (!isLoopbackName(host))
    throw new BoardwrightError(
      'bad-argument',
      `The server has no logins, so it can only be reached from this computer: 127.0.0.1, not ${host}.`,
    )
  const app = await buildApp(appOptions)
  const endUnusedConnections = unusedConnections(app.server)
  try {
    await app.listen({ host, port })
  } catch (error) {
    await app.close()
    throw explainListenError(error as NodeJS.ErrnoException, { host, port })
  }
  const bound = (app.server.address() as AddressInfo).port
  return {
    url: `http://${host.includes(':') ? `[${host}]` : host}:${bound}`,
    port: bound,
    async close() {
      const timer = setTimeout(() => app.server.closeAllConnections(), graceMs)
      const closed = app.close()
      endUnusedConnections()
      await closed.finally(() => clearTimeout(timer))
    },
  }
}
