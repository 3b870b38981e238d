import type { Product } from '@boardwright/core'
import { Text } from 'ink'
import type { AnswerKind } from '../session/check-answer.ts'

/** Where the result of the chosen check is told. */
export function AnswerField(props: {
  kind: AnswerKind
  product: Product
  typed: string
  sound: boolean
  activity: string | undefined
}) {
  const { kind, product, typed, sound, activity } = props
  if (activity) return <Text bold>{`The rig: ${activity}`}</Text>
  if (kind.kind === 'number')
    return (
      <Text>
        {`${kind.label} `}
        <Text bold inverse>{` ${typed}▏${' '.repeat(Math.max(1, 10 - typed.length))}`}</Text>
        {` ${kind.unit}`}
      </Text>
    )
  if (kind.kind === 'part')
    return (
      <Text>
        {`${kind.designator} was found `}
        <Text bold inverse={sound}>
          {sound ? ' › as drawn ' : '   as drawn '}
        </Text>{' '}
        <Text bold inverse={!sound}>
          {sound ? '   wrong ' : ' › wrong '}
        </Text>
      </Text>
    )
  const label = product.settings.find(({ name }) => name === kind.setting)?.label ?? kind.setting
  return <Text>{`Set the board to "${label}"${kind.node === null ? '' : ' and place the probe'}; Enter runs it.`}</Text>
}
