import { basename } from 'node:path'
import { startServer } from '@boardwright/api'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { deskFolder } from '../desk-folder.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { version } from '../version.ts'
import { workshopEnding } from '../workshop-path.ts'

const usualPort = 4680

/** Resolves when the person (Ctrl-C) or the system asks to stop. */
const untilAskedToStop = () =>
  new Promise<void>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => resolve())
  })

/** `boardwright serve`: desk and API on this computer, until it is asked to stop. */
export function serve(context: CommandContext, options: { port?: number }) {
  return withWorkshop(context, { create: true }, async (workshop) => {
    const stopped = untilAskedToStop()
    const server = await startServer({
      workshop,
      workshopName: basename(workshop.file, workshopEnding),
      version,
      deskFolder: deskFolder(),
      port: options.port ?? usualPort,
    })
    if (context.json) printJson(context, { url: server.url, port: server.port, workshop: workshop.file })
    else print(context, `The desk is at ${server.url} (only from this computer). Ctrl-C stops.`)
    await stopped
    await server.close()
    return exitCode.ok
  })
}
