import { existsSync, mkdirSync } from 'node:fs'
import { dirname } from 'node:path'
import { BoardwrightError } from '@boardwright/core'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop, type Workshop } from '@boardwright/core/workshop'
import { type CommandContext, note } from './command-context.ts'
import { loadPlover } from './plover.ts'
import { stationName, workshopPath } from './workshop-path.ts'

/** Makes the folders of a new workshop file. Errors: file-not-writable. */
export function makeFolder(path: string) {
  try {
    mkdirSync(dirname(path), { recursive: true })
  } catch (error) {
    throw new BoardwrightError('file-not-writable', `The folder ${dirname(path)} cannot be made.`, { cause: error })
  }
}

/**
 * Opens the workshop that the command names.
 * @param options.create make a new one, with the Plover as its product, when the file is not there; without it a path
 *   that is not there is an error, so that a slip in a path does not look like an empty workshop
 * Errors: not-found, and those of `openStore`.
 */
export function openWorkshop(context: CommandContext, options: { create?: boolean } = {}): Workshop {
  const path = workshopPath(context)
  const isNew = !existsSync(path)
  if (isNew && !options.create)
    throw new BoardwrightError('not-found', `There is no workshop file at ${path}.`, {
      remedy:
        'Name yours with --file or BOARDWRIGHT_FILE; "boardwright reference add" or "boardwright open" makes a new one.',
    })
  if (isNew) makeFolder(path)
  const workshop = makeWorkshop({ store: openStore(path, { create: options.create }), station: stationName(context) })
  if (workshop.products().length === 0) {
    const product = workshop.addProduct(loadPlover())
    note(context, `Made a new workshop at ${path}, with the product ${product.name} revision ${product.revision}.`)
  }
  return workshop
}

/** Opens the workshop for as long as `work` takes. */
export async function withWorkshop<T>(
  context: CommandContext,
  options: { create?: boolean },
  work: (workshop: Workshop) => T | Promise<T>,
): Promise<T> {
  const workshop = openWorkshop(context, options)
  try {
    return await work(workshop)
  } finally {
    workshop.close()
  }
}
