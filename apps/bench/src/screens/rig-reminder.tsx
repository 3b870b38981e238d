import { type RigCheckStatus, rigKindOf } from '@boardwright/core'
import { Text } from 'ink'
import type { Bench } from '../bench.ts'
import { colour } from '../look.ts'
import { statusSign } from '../text/rig-check-words.ts'

/** What the maker must know of the rig before the next unit; undefined when it is good and steady. */
export function rigReminder(bench: Pick<Bench, 'workshop' | 'rig' | 'product'>): RigCheckStatus | undefined {
  const which = { productId: bench.product.id, rig: rigKindOf(bench.rig.kind) }
  const status = bench.workshop.rigChecks.status(which)
  return status.state === 'good' && !status.warning && status.retest === 0 ? undefined : status
}

const wordsOf = (status: RigCheckStatus): string => {
  if (status.state === 'drifted') return 'The rig has drifted: nothing is tested until it is good again.'
  if (status.state !== 'good') return status.sentence
  return status.warning ?? `${status.retest} ${status.retest === 1 ? 'unit waits' : 'units wait'} to be tested again.`
}

/** One line on the test screen. */
export function RigReminder({ status }: { status: RigCheckStatus }) {
  return (
    <Text wrap="truncate">
      <Text bold color={status.state === 'drifted' ? colour.bad : undefined}>
        {` ${statusSign[status.state === 'good' ? 'due' : status.state]} ${wordsOf(status)} `}
      </Text>
      <Text bold inverse>
        {' c '}
      </Text>
      <Text> rig check</Text>
    </Text>
  )
}
