import { formatWhen, type RetestItem } from '@boardwright/core'
import { retestWords } from './rig-check-words.ts'
import { textTable } from './table.ts'

/** Units to be tested again, a line each. */
export const retestLines = (items: readonly RetestItem[]): string[] =>
  items.length === 0
    ? []
    : textTable(
        items.map(({ serial, state, verdict, testedAt, action }) => [
          `  ${serial}`,
          state,
          `${verdict} ${formatWhen(testedAt)}`,
          retestWords[action],
        ]),
      ).split('\n')
