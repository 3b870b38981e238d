import { BoardwrightError } from '../model/error.ts'
import { checkWorkshop } from './check-workshop.ts'
import type { VerbContext } from './verb-context.ts'
import type { BackupReport, CheckReport } from './workshop.ts'

/**
 * Copies the workshop file while others work on it, opens the copy and checks it. A copy with a damaged structure is not
 * kept; any other finding stands in the report, for such a backup is better than none. A folder as `path` gets a file
 * with the date in its name.
 * Errors: file-not-writable, disk-full, file-damaged.
 */
export async function backUp(context: VerbContext, path: string): Promise<BackupReport> {
  let check: CheckReport | undefined
  const copied = await context.store.copyTo({
    path,
    at: context.clock.now(),
    prove(copy) {
      check = checkWorkshop({ store: copy })
      const damage = check.findings.find((finding) => finding.code === 'file-structure')
      if (damage)
        throw new BoardwrightError('file-damaged', `The backup was not kept, for it is damaged: ${damage.message}`)
    },
  })
  if (!check) throw new Error('the copy was not proven')
  return { ...copied, check }
}
