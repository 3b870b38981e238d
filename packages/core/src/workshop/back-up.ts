import { BoardwrightError } from '../model/error.ts'
import { checkWorkshop } from './check-workshop.ts'
import type { VerbContext } from './verb-context.ts'
import type { BackupReport, CheckReport } from './workshop.ts'

/**
 * Copies the workshop file while others work on it, opens the copy and checks it. Only a copy that was found sound gets
 * its name. A folder as `path` gets a file with the date in its name.
 * Errors: file-not-writable, disk-full, file-damaged when the copy does not prove sound.
 */
export async function backUp(context: VerbContext, path: string): Promise<BackupReport> {
  let check: CheckReport | undefined
  const copied = await context.store.copyTo({
    path,
    at: context.clock.now(),
    prove(copy) {
      check = checkWorkshop({ store: copy })
      if (!check.ok)
        throw new BoardwrightError(
          'file-damaged',
          `The backup was not kept, for its check found: ${check.findings[0].message}`,
        )
    },
  })
  if (!check) throw new Error('the copy was not proven')
  return { ...copied, check }
}
