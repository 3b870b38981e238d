import { errorCatalogue, type Product, Serial, testableStates, type Unit } from '@boardwright/core'
import { call } from '../../api/client.ts'
import { ProblemError } from '../../api/problem-error.ts'

type Refusal = 'bad-serial' | 'no-reference' | 'rig-drifted' | 'unit-not-testable'

const refusal = (code: Refusal, sentence: string, remedy?: string) =>
  new ProblemError({ code, sentence, remedy: remedy ?? errorCatalogue[code].remedy })

/**
 * Finds out before the first sound what the server would refuse after the last one. Gives the serial number as it is stored.
 * Errors: bad-serial, no-reference, rig-drifted, unit-not-testable, server-unreachable.
 */
export async function needTestable(written: string, product: Product): Promise<string> {
  const parsed = Serial.safeParse(written)
  if (!parsed.success) throw refusal('bad-serial', `"${written}" is no serial number.`)
  const serial = parsed.data
  const [{ references }, { rigs }, unit] = await Promise.all([
    call('references', { params: { id: product.id } }),
    call('rigChecks', { query: { productId: product.id } }),
    knownUnit(serial),
  ])
  if (references.length === 0)
    throw refusal('no-reference', `${product.name} revision ${product.revision} has no reference yet.`)
  const drifted = rigs.find(({ rig, status }) => rig === 'sound-interface' && status.state === 'drifted')
  if (drifted) throw refusal('rig-drifted', drifted.status.sentence)
  if (unit && unit.productId !== product.id)
    throw refusal(
      'unit-not-testable',
      `Unit ${serial} is no ${product.name}.`,
      'Choose its product, or scan the label again.',
    )
  if (unit && !testableStates.includes(unit.state))
    throw refusal('unit-not-testable', `Unit ${serial} is ${unit.state}, so it cannot be tested.`)
  return serial
}

/** A new serial number becomes a new unit with its first test run. */
async function knownUnit(serial: string): Promise<Unit | undefined> {
  const { units } = await call('units', { query: { search: serial } })
  return units.find((unit) => unit.serial === serial)
}
