import type { GaugeResult, GaugeStudy, Unit } from '@boardwright/core'
import type { GaugeProgress } from '@boardwright/core/workshop'
import { Box, Text } from 'ink'
import { colour } from '../look.ts'
import { quantityCells, quantityHead, stepWords } from '../text/gauge-words.ts'
import { textTable } from '../text/table.ts'
import { wrapWords } from '../text/wrap-words.ts'
import { progressBar } from './progress-line.tsx'

/** Boards and size of a study that is to begin. */
export function GaugeChoiceView(props: {
  boards: readonly Unit[]
  size: { boards: number; setUps: number; repeats: number }
  columns: number
}) {
  const { boards, size, columns } = props
  const chosen = boards.slice(0, size.boards)
  const readings = chosen.length * size.setUps * size.repeats
  const words =
    'How well does the rig repeat? Each board is put in anew for every set-up, and swept three times without touching it. The judge then knows how far to trust a curve. Boards that differ show best what the rig tells apart.'
  return (
    <Box flexDirection="column" paddingX={1} paddingTop={1}>
      <Text>{wrapWords(words, columns - 3).join('\n')}</Text>
      <Box marginTop={1} flexDirection="column">
        <Text
          bold
        >{`${chosen.length} boards x ${size.setUps} set-ups x ${size.repeats} sweeps = ${readings} readings`}</Text>
        <Text>{wrapWords(chosen.map(({ serial }) => serial).join('  '), columns - 3).join('\n')}</Text>
        {chosen.length < 2 && <Text>At least two boards must be in the workshop.</Text>}
        <Text color={colour.quiet}>Other boards: boardwright gauge start --unit ...</Text>
      </Box>
    </Box>
  )
}

/** What to do for the next reading. */
export function GaugeProgressView({ progress, columns }: { progress: GaugeProgress; columns: number }) {
  const { study, next } = progress
  const share = study.readings / study.wanted
  return (
    <Box flexDirection="column" paddingX={1} paddingTop={1}>
      <Text>
        {`Gauge study ${study.id}: ${study.readings} of ${study.wanted} readings  `}
        <Text color={colour.good}>{progressBar(share, Math.min(30, columns - 45))}</Text>
      </Text>
      {next && (
        <Box flexDirection="column" marginTop={1}>
          <Text bold inverse>{` ${next.serial} `}</Text>
          <Box marginTop={1}>
            <Text bold>{wrapWords(capital(stepWords(next, study)), columns - 3).join('\n')}</Text>
          </Box>
        </Box>
      )}
      <Box marginTop={1}>
        <Text color={colour.quiet}>
          {wrapWords(
            `Leave it at any time: the next reading is asked for again, in the same order (seed ${study.seed}). boardwright gauge abandon ${study.id} gives it up.`,
            columns - 3,
          ).join('\n')}
        </Text>
      </Box>
    </Box>
  )
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** The result in words, then the figures that fit. */
export function GaugeResultView(props: {
  study: GaugeStudy
  result: GaugeResult
  isInForce: boolean
  columns: number
  rows: number
}) {
  const { study, result, isInForce, columns, rows } = props
  const head = `Gauge study ${study.id} of ${study.startedAt.slice(0, 10)}, ${study.readings} readings${isInForce ? ': the judge counts with it' : ''}`
  const words = result.words.flatMap((sentence) => wrapWords(sentence, columns - 4))
  const worstFirst = [...result.quantities].sort(
    (a, b) => b.anova.gauge.percentOfTolerance - a.anova.gauge.percentOfTolerance,
  )
  const table = textTable([quantityHead, ...worstFirst.map(quantityCells)]).split('\n')
  const [heading, ...lines] = table.slice(0, Math.max(2, rows - words.length - 3))
  return (
    <Box flexDirection="column" paddingX={1}>
      <Text bold wrap="truncate">
        {head}
      </Text>
      <Text>{words.join('\n')}</Text>
      <Text color={colour.quiet} wrap="truncate">
        {heading}
      </Text>
      <Text>{lines.join('\n')}</Text>
      {lines.length < worstFirst.length && (
        <Text
          color={colour.quiet}
        >{`${worstFirst.length - lines.length} more: boardwright gauge show ${study.id}`}</Text>
      )}
    </Box>
  )
}
