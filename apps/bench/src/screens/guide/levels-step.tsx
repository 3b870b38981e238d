import { BoardwrightError, formatDbfs } from '@boardwright/core'
import { Text } from 'ink'
import { useState } from 'react'
import { type FormField, useFormFields } from '../../hooks/use-form-fields.ts'
import type { HeardTone } from '../../session/setup/listen.ts'
import { keepData, keepReading, playLevelTone, readingTimeS } from '../../session/setup/steps.ts'
import { readDataLevel, readVolts } from '../../session/setup/typed-level.ts'
import { FormLines } from '../form-lines.tsx'
import type { GuideStepProps } from './guide-step-props.ts'
import { Paragraph } from './paragraph.tsx'

const ways = ['voltmeter', 'data of the interface'] as const
const readings = { 'V r.m.s.': 'rms', 'V peak': 'peak', 'V peak to peak': 'peak-to-peak' } as const
type ReadingWords = keyof typeof readings

const wayField: FormField = { name: 'way', label: 'By', choices: ways }
const readingFields: readonly FormField[] = [
  { name: 'reading', label: 'The meter shows', most: 12 },
  { name: 'kind', label: 'which is', choices: Object.keys(readings) },
]
const dataFields: readonly FormField[] = [
  { name: 'output', label: 'Largest output level', most: 12 },
  { name: 'input', label: 'Largest input level', most: 12 },
]

function typed<T>(value: T | undefined, text: string, remedy: string): T {
  if (value === undefined) throw new BoardwrightError('bad-argument', `"${text}" cannot be read.`, { remedy })
  return value
}

const volts = (text = '') => typed(readVolts(text), text, 'Type what the meter shows in volts, such as 0.52 or 520 mV.')
const data = (text = '') =>
  typed(readDataLevel(text), text, 'Type a level with its unit, such as +4 dBu, 6 dBV or 2 V.')

const instructions = {
  voltmeter: `Plug the output into the input, with a voltmeter (AC volts) at that plug. A tone of 200 Hz plays for ${readingTimeS} seconds: read the meter, then type what it showed.`,
  'data of the interface':
    'Type the largest levels as the data sheet tells them, such as +10 dBu. They hold with the knobs of the interface where the data sheet has them.',
}

/** What full scale is in volts. */
export function LevelsStep({ guide, columns, keys }: GuideStepProps) {
  const [heard, setHeard] = useState<HeardTone>()
  const [way, setWay] = useState<(typeof ways)[number]>('voltmeter')
  const byMeter = way === 'voltmeter'
  const fields = [wayField, ...(byMeter ? (heard ? readingFields : []) : dataFields)]
  const form = useFormFields({
    fields,
    initial: { way, reading: '', kind: 'V r.m.s.', output: '', input: '' },
    onDone: ({ reading, kind, output, input }) => {
      if (!byMeter) guide.work((setUp) => void keepData(setUp, data(output), data(input)), { goesOn: true })
      else if (heard) {
        const kept = { heard, reading: readings[kind as ReadingWords] }
        guide.work((setUp) => void keepReading(setUp, { ...kept, readingV: volts(reading) }), { goesOn: true })
      } else
        guide.work(async (setUp) => setHeard(await playLevelTone(setUp)), {
          sound: `a tone of 200 Hz plays for ${readingTimeS} s: read the voltmeter`,
        })
    },
  })
  const chosen = form.values.way as (typeof ways)[number]
  if (chosen !== way) setWay(chosen)
  keys.current = form.onKey
  return (
    <>
      <Paragraph text={instructions[way]} columns={columns} />
      <FormLines
        fields={fields}
        values={form.values}
        line={form.line}
        send={byMeter && !heard ? 'play the tone' : 'store and go on'}
      />
      {byMeter && heard && (
        <Text>{`The tone was played at ${formatDbfs(heard.playedDbfs)} and came back at ${formatDbfs(heard.recordedDbfs)}.`}</Text>
      )}
    </>
  )
}
