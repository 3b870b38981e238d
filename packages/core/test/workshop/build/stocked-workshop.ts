import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { demoOpAmp, demoStockTable } from '../../../src/demo/demo-stock.ts'
import type { Workshop } from '../../../src/workshop/workshop.ts'
import { temporaryFolder } from '../../store/temporary-folder.ts'
import { newWorkshop } from '../new-workshop.ts'

let made: Buffer | undefined

/** Made once a test file, then copied: the disk is what takes the time. */
function stockedFile(): Buffer {
  if (made) return made
  const workshop = newWorkshop()
  const report = workshop.stock.importStock({ csv: demoStockTable })
  if (report.refused.length > 0) throw new Error(JSON.stringify(report.refused))
  workshop.stock.savePart(demoOpAmp)
  workshop.stock.receiveLot({ part: 'DA-2X3', pieces: 40, lot: 'U-LOT' })
  workshop.stock.decideLot({ lot: 'U-LOT', state: 'accepted', reason: 'test' })
  workshop.close()
  // Closing has folded the write-ahead log into the file.
  made = readFileSync(workshop.file)
  return made
}

/** A workshop with the Plover and parts for seven units or more; the op-amps' lot was looked at and accepted. */
export function stockedWorkshop(options: { file?: string; station?: string } = {}): Workshop {
  const file = options.file ?? join(temporaryFolder(), 'stocked.boardwright')
  writeFileSync(file, stockedFile())
  return newWorkshop({ ...options, file, withProduct: false })
}

/** Stock of every lot, by name. */
export const stockOf = (workshop: Workshop): Record<string, number> =>
  Object.fromEntries(workshop.stock.lots().map(({ id, stock }) => [id, stock]))
