import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Product } from '@boardwright/core'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop, type Workshop } from '@boardwright/core/workshop'
import type { FastifyInstance } from 'fastify'
import { buildApp } from '../src/index.ts'
import { reference } from './test-recordings.ts'

const plover = new URL('../../../shared/products/plover.json', import.meta.url)

/** The demo product with a short sweep, so that a test that measures takes no longer than it must. */
function testProduct(): Product {
  const product = JSON.parse(readFileSync(plover, 'utf8'))
  // This sweep is louder than the ladder of tones of the plan allows for.
  delete product.testPlan.hard
  product.testPlan.stimulus = { ...product.testPlan.stimulus, durationS: 1, levelDbfs: -12 }
  return Product.parse(product)
}

/** A real workshop file in a folder of its own, with the product and, if asked, a reference of two runs. */
export function openTestWorkshop(options: { withReference?: boolean } = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'boardwright-api-'))
  const file = join(folder, 'workshop.sqlite')
  /** Opens the same file once more, as another program does. */
  const openAgain = (station: string): Workshop => makeWorkshop({ store: openStore(file, { create: true }), station })
  const workshop = openAgain('desk')
  const product = workshop.addProduct(testProduct())
  if (options.withReference)
    workshop.addReference({ recordings: [1, 2].flatMap((run) => reference({ product, noiseSeed: run })) })
  return {
    workshop,
    product,
    file,
    openAgain,
    close: () => {
      workshop.close()
      rmSync(folder, { recursive: true })
    },
  }
}

export interface TestServer extends Omit<ReturnType<typeof openTestWorkshop>, 'close'> {
  app: FastifyInstance
  /** Every bug that the app reported. */
  bugs: { error: unknown; request: string }[]
  close(): Promise<void>
}

/** The whole app on a real workshop file, without listening. */
export async function openTestServer(
  options: { deskFolder?: string; withReference?: boolean; prepare?: (app: FastifyInstance) => void } = {},
): Promise<TestServer> {
  const opened = openTestWorkshop(options)
  const bugs: TestServer['bugs'] = []
  const app = await buildApp({
    workshop: opened.workshop,
    workshopName: 'Fernhollow Audio',
    version: '0.1.0-test',
    reportBug: (bug) => bugs.push(bug),
    ...(options.deskFolder === undefined ? {} : { deskFolder: options.deskFolder }),
  })
  options.prepare?.(app)
  return {
    ...opened,
    app,
    bugs,
    close: async () => {
      await app.close()
      opened.close()
    },
  }
}
