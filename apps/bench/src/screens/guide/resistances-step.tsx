import { BoardwrightError } from '@boardwright/core'
import { Text } from 'ink'
import { useState } from 'react'
import { type FormField, useFormFields } from '../../hooks/use-form-fields.ts'
import {
  keepResistances,
  measureDrop,
  type ResistorLevels,
  resistorPlaces,
  type SetUp,
} from '../../session/setup/steps.ts'
import { readOhm } from '../../session/setup/typed-level.ts'
import { FormLines } from '../form-lines.tsx'
import type { GuideStepProps } from './guide-step-props.ts'
import { Paragraph } from './paragraph.tsx'

const ways = ['typed', 'a known resistor'] as const
const wayField: FormField = { name: 'way', label: 'By', choices: ways }
const typedFields: readonly FormField[] = [
  { name: 'source', label: 'Source resistance, ohm', most: 12 },
  { name: 'load', label: 'Load resistance, ohm', most: 12 },
]
const resistorFields: readonly FormField[] = [{ name: 'resistor', label: 'The resistor, ohm', most: 12 }]

function ohm(text = ''): number {
  const value = readOhm(text)
  if (value === undefined)
    throw new BoardwrightError('bad-argument', `"${text}" is no resistance.`, {
      remedy: 'Type it as 4700, 4.7k or 4k7.',
    })
  return value
}

const shown = (value: number | null | undefined) =>
  value === null || value === undefined ? '' : String(Math.round(value))

/** What drives the board and what loads it: typed from data, or measured by the drop of a level. */
export function ResistancesStep({ guide, bench, settings, columns, keys }: GuideStepProps) {
  const [levels, setLevels] = useState<ResistorLevels>({})
  const [way, setWay] = useState<(typeof ways)[number]>('typed')
  const fields = [wayField, ...(way === 'typed' ? typedFields : resistorFields)]
  const place = resistorPlaces.find(({ key }) => levels[key] === undefined)
  const keepTyped = ({ source, load }: Record<string, string>) => {
    const changes = { sourceResistanceOhm: ohm(source), loadResistanceOhm: ohm(load) }
    bench.workshop.rig.save({ name: settings?.name, changes })
  }
  const playTone = (key: keyof ResistorLevels) => async (setUp: SetUp) => {
    const level = await measureDrop(setUp)
    setLevels((now) => ({ ...now, [key]: level }))
  }
  const form = useFormFields({
    fields,
    initial: {
      way,
      source: shown(settings?.sourceResistanceOhm),
      load: shown(settings?.loadResistanceOhm),
      resistor: '10k',
    },
    onDone: (values) => {
      if (way === 'typed') guide.work(() => keepTyped(values), { goesOn: true })
      else if (place) guide.work(playTone(place.key), { sound: 'a tone plays' })
      else {
        // Whatever comes of it, the next try begins anew.
        setLevels({})
        guide.work((setUp) => void keepResistances(setUp, ohm(values.resistor), levels), { goesOn: true })
      }
    },
  })
  const chosen = form.values.way as (typeof ways)[number]
  if (chosen !== way) setWay(chosen)
  keys.current = form.onKey
  const send = way === 'typed' ? 'store and go on' : place ? 'play the tone' : 'work it out, store and go on'
  return (
    <>
      <Paragraph
        text="The output drives the board through its source resistance, and the input loads the board. Both stand in the data of the interface; or a resistor that you know tells them."
        columns={columns}
      />
      <FormLines fields={fields} values={form.values} line={form.line} send={send} />
      {way !== 'typed' && <Places levels={levels} />}
    </>
  )
}

/** Where the resistor is to be put, what is done, and what comes next. */
function Places({ levels }: { levels: ResistorLevels }) {
  const next = resistorPlaces.find(({ key }) => levels[key] === undefined)
  return (
    <>
      <Text> </Text>
      {resistorPlaces.map(({ key, words }) => (
        <Text key={key} bold={key === next?.key} wrap="truncate">
          {`${levels[key] !== undefined ? '✓' : key === next?.key ? '›' : '○'} ${words}`}
        </Text>
      ))}
    </>
  )
}
