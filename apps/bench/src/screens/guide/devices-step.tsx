import { formatRate, type RigChanges, type RigSettings } from '@boardwright/core'
import type { SoundDevice } from '@boardwright/core/audio'
import { Text } from 'ink'
import { useEffect, useState } from 'react'
import { type FormField, useFormFields } from '../../hooks/use-form-fields.ts'
import { colour } from '../../look.ts'
import { problemOf, type SessionProblem } from '../../session/problem-of.ts'
import { type FoundDevices, findDevices, refuseUnfit } from '../../session/setup/devices.ts'
import { FormLines } from '../form-lines.tsx'
import { ProblemView } from '../problem-view.tsx'
import type { GuideStepProps } from './guide-step-props.ts'
import { Paragraph } from './paragraph.tsx'

const usualRates = [44_100, 48_000, 88_200, 96_000, 176_400, 192_000]
const none = 'none'

const channels = (device: SoundDevice | undefined): string[] =>
  Array.from({ length: device?.channels ?? 8 }, (_, i) => String(i + 1))

function fieldsOf(found: FoundDevices, values: Record<string, string>): FormField[] {
  const output = found.outputs.find(({ name }) => name === values.output)
  const input = found.inputs.find(({ name }) => name === values.input)
  const names = (devices: readonly SoundDevice[]) => (devices.length > 0 ? devices.map(({ name }) => name) : undefined)
  return [
    { name: 'output', label: 'Output', choices: names(found.outputs) },
    { name: 'outputChannel', label: 'its channel', choices: channels(output) },
    { name: 'input', label: 'Input', choices: names(found.inputs) },
    { name: 'inputChannel', label: 'its channel', choices: channels(input) },
    { name: 'loopBack', label: 'loop-back channel', choices: [none, ...channels(input)] },
    {
      name: 'rate',
      label: 'Rate, Hz',
      choices: [...new Set([input?.rateHz, ...usualRates])].flatMap((r) => r ?? []).map(String),
    },
  ]
}

const preferred = (devices: readonly SoundDevice[]) => devices.find(({ isDefault }) => isDefault) ?? devices[0]

function initialValues(found: FoundDevices, settings: RigSettings | undefined): Record<string, string> {
  const [output, input] = [preferred(found.outputs), preferred(found.inputs)]
  const loopBack = settings?.input.loopBackChannel ?? null
  return {
    output: settings?.output.device ?? output?.name ?? '',
    outputChannel: String((settings?.output.channel ?? 0) + 1),
    input: settings?.input.device ?? input?.name ?? '',
    inputChannel: String((settings?.input.channel ?? 0) + 1),
    loopBack: loopBack === null ? none : String(loopBack + 1),
    rate: String(settings?.rateHz ?? input?.rateHz ?? 48_000),
  }
}

function changesOf(values: Record<string, string>) {
  const loopBackChannel = values.loopBack === none ? null : Number(values.loopBack) - 1
  return {
    output: { device: values.output ?? '', channel: Number(values.outputChannel) - 1 },
    input: { device: values.input ?? '', channel: Number(values.inputChannel) - 1, loopBackChannel },
    rateHz: Number(values.rate),
  } satisfies RigChanges
}

const dataOf = (device: SoundDevice | undefined): string =>
  device
    ? [
        device.label,
        device.rateHz === null ? null : formatRate(device.rateHz),
        device.sampleFormat,
        device.volume === null ? null : `volume ${Math.round(100 * device.volume)} %`,
        device.muted ? 'MUTED' : null,
      ]
        .filter((one) => one !== null)
        .join(', ')
    : 'not there now'

/** Which devices, channels and rate. */
export function DevicesStep(props: GuideStepProps) {
  const [found, setFound] = useState<FoundDevices>()
  const [problem, setProblem] = useState<SessionProblem>()
  const family = props.settings?.family
  useEffect(() => {
    let isShown = true
    findDevices(process.env, family).then(
      (now) => isShown && setFound(now),
      (error) => isShown && setProblem(problemOf(error)),
    )
    return () => {
      isShown = false
    }
  }, [family])
  if (problem) return <ProblemView title="No sound device" problem={problem} />
  if (!found) return <Text>Looking for sound devices.</Text>
  return <DevicesForm {...props} found={found} />
}

function DevicesForm({ guide, bench, settings, columns, keys, found }: GuideStepProps & { found: FoundDevices }) {
  const initial = initialValues(found, settings)
  const [fields, setFields] = useState(() => fieldsOf(found, initial))
  const form = useFormFields({
    fields,
    initial,
    onDone: (values) =>
      guide.work(
        () => {
          const changes = changesOf(values)
          refuseUnfit({ ...changes, leastBits: settings?.leastBits ?? 24 }, found)
          bench.workshop.rig.save({ name: settings?.name, changes })
        },
        { goesOn: true },
      ),
  })
  const { output, input } = form.values
  // Another device has other channels.
  useEffect(() => setFields(fieldsOf(found, { output: output ?? '', input: input ?? '' })), [found, output, input])
  keys.current = form.onKey
  return (
    <>
      <Paragraph
        text="Choose what plays to the board and what records it. Both should belong to one interface: two clocks drift."
        columns={columns}
      />
      <FormLines fields={fields} values={form.values} line={form.line} send="store and go on" />
      <Text> </Text>
      <Text color={colour.quiet} wrap="truncate">
        {`Output: ${dataOf(found.outputs.find(({ name }) => name === output))}`}
      </Text>
      <Text color={colour.quiet} wrap="truncate">
        {`Input: ${dataOf(found.inputs.find(({ name }) => name === input))}`}
      </Text>
    </>
  )
}
