import {
  isSamePart,
  type Product,
  type ReworkAction,
  type RunDiagnosis,
  reworkActions,
  type Suspect,
} from '@boardwright/core'
import { Box, Text } from 'ink'
import type { Bench } from '../bench.ts'
import { type BenchKey, useBenchKeys } from '../hooks/use-bench-keys.ts'
import { type FormField, useFormFields } from '../hooks/use-form-fields.ts'
import { useRework } from '../hooks/use-rework.ts'
import { colour } from '../look.ts'
import { Footer } from './footer.tsx'
import { FormLines } from './form-lines.tsx'

export interface ReworkScreenProps {
  bench: Bench
  product: Product
  known: RunDiagnosis
  suspect: Suspect | undefined
  serial: string
  rows: number
  active: boolean
  onTest: (serial: string) => void
  onBack: () => void
}

const last = 'no: the board is ready for its test'
const notYet = 'yes: more parts follow'

/** Parts of the board, those of the suspect first. */
function partChoices({ circuit }: Product, suspect: Suspect | undefined): string[] {
  const first = suspect?.designators ?? []
  const all = circuit.elements
    .filter((one) => !('place' in one) || one.place === 'board')
    .map((one) => one.designator)
    .sort((a, b) => a.localeCompare(b, 'en', { numeric: true }))
  return [...first, ...all.filter((name) => !first.some((one) => isSamePart(one, name)))]
}

const fieldsOf = (parts: readonly string[]): FormField[] => [
  { name: 'designator', label: 'Part', choices: parts },
  { name: 'action', label: 'What was done', choices: reworkActions },
  { name: 'part', label: 'Put in', most: 120 },
  { name: 'lot', label: 'From lot', most: 120 },
  { name: 'note', label: 'Note', most: 2000 },
  { name: 'more', label: 'More to redo', choices: [last, notYet] },
]

/** Records what was replaced or redone; the unit is untested again, and its next test tells whether that was it. */
export function ReworkScreen({ bench, product, known, suspect, serial, rows, active, ...go }: ReworkScreenProps) {
  const { record, done, problem } = useRework(bench, known)
  const parts = partChoices(product, suspect)
  const fields = fieldsOf(parts)
  const form = useFormFields({
    fields,
    initial: { designator: parts[0] ?? '', action: reworkActions[0], part: '', lot: '', note: '', more: last },
    onDone: ({ designator, action, part, lot, note, more }) =>
      void record({ designator, action: action as ReworkAction, part, lot, note, finished: more !== notYet }),
  })
  const onKey = (key: BenchKey) => {
    if (key.name === 'escape') go.onBack()
    else if (!done) form.onKey(key)
    else if (key.name === 'enter' || key.name === 'space')
      if (done.state === 'untested') go.onTest(serial)
      else go.onBack()
  }
  useBenchKeys(onKey, { active })
  return (
    <Box flexDirection="column" height={rows}>
      <Text wrap="truncate">
        <Text bold inverse>{` ${serial} `}</Text>
        {'  Rework'}
      </Text>
      <Box flexDirection="column" height={rows - 2} overflow="hidden" paddingX={1} paddingTop={1}>
        {done ? (
          <Done {...done} serial={serial} />
        ) : (
          <>
            <FormLines fields={fields} values={form.values} line={form.line} send="Record it" />
            <Text color={colour.quiet}>
              {'\nCaution: hot iron, fumes. Supply off, air moving; the rules of your workshop come first.'}
            </Text>
          </>
        )}
        {problem && <Text bold>{`\n✗ ${problem.message}\n  ${problem.remedy}`}</Text>}
      </Box>
      <Footer keys={done ? doneKeys(done.state) : formKeys(form.line === fields.length)} />
    </Box>
  )
}

const doneKeys = (state: string) =>
  [
    ['Enter', state === 'untested' ? 'test it again' : 'back'],
    ['Esc', 'suspects'],
  ] as const

const formKeys = (atEnd: boolean) =>
  [
    ['↑ ↓', 'line'],
    ['← →', 'choose'],
    ['Enter', atEnd ? 'record' : 'next line'],
    ['Esc', 'back'],
  ] as const

const Done = ({ designator, state, serial }: { designator: string; state: string; serial: string }) => (
  <Box flexDirection="column">
    <Text bold>{`✓ ${designator} is on record; ${serial} is ${state}.`}</Text>
    <Text>
      {state === 'untested'
        ? 'Its next test tells whether that was it.'
        : 'Record the other parts; the last one makes it ready for its test.'}
    </Text>
  </Box>
)
