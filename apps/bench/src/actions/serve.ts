import { basename } from 'node:path'
import { startServer } from '@boardwright/api'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { deskFolder } from '../desk-folder.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { makeBackgroundDiagnosis } from '../session/background-diagnosis.ts'
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
    const diagnosing = makeBackgroundDiagnosis({ file: workshop.file, station: workshop.station })
    const server = await startServer({
      // Suspects are worked out in a thread of their own, so that the other pages are answered meanwhile.
      workshop: { ...workshop, diagnosis: diagnosing.show, diagnoseRun: diagnosing.ask },
      workshopName: basename(workshop.file, workshopEnding),
      version,
      deskFolder: deskFolder(),
      port: options.port ?? usualPort,
    })
    if (context.json) printJson(context, { url: server.url, port: server.port, workshop: workshop.file })
    else print(context, `The desk is at ${server.url} (only from this computer). Ctrl-C stops.`)
    await stopped
    await server.close()
    diagnosing.close()
    return exitCode.ok
  })
}
