import { z } from 'zod'
import { furthestFromOne } from './pulse-devices.ts'
import { bitsOfFormat, type SoundDevice } from './sound-device.ts'

const Value = z.union([z.string(), z.number(), z.boolean()])
/** A single value, or a choice with its default. */
const Choice = z.union([Value, z.looseObject({ default: Value })])
const Format = z.looseObject({
  format: Choice.optional(),
  rate: Choice.optional(),
  channels: Choice.optional(),
  position: z.array(z.string()).optional(),
})
const NodeProps = z.looseObject({
  volume: z.number().optional(),
  mute: z.boolean().optional(),
  channelVolumes: z.array(z.number()).optional(),
})

/** What is read of `pw-dump`. */
const PipeWireDump = z.array(
  z.looseObject({
    type: z.string(),
    info: z
      .looseObject({
        props: z.record(z.string(), Value.nullable()).nullish(),
        params: z
          .looseObject({
            EnumFormat: z.array(Format).optional(),
            Format: z.array(Format).optional(),
            Props: z.array(NodeProps).optional(),
          })
          .nullish(),
      })
      .nullish(),
    props: z.record(z.string(), z.unknown()).nullish(),
    metadata: z.array(z.looseObject({ key: z.string(), value: z.unknown() })).nullish(),
  }),
)
type PipeWireObject = z.infer<typeof PipeWireDump>[number]

/** Behind the name of an output: what the output plays, to be recorded. */
export const monitorSuffix = '.monitor'

/**
 * Devices from the JSON text of `pw-dump`; every output is also an input under its name with `.monitor`.
 * Throws what zod or JSON throw when the text is something else.
 */
export function parsePipeWireDevices(text: string): SoundDevice[] {
  const objects = PipeWireDump.parse(JSON.parse(text))
  const settings = metadataOf(objects, 'settings')
  // A forced rate is 0 when nothing is forced.
  const graphRateHz = Number(settings['clock.force-rate']) || Number(settings['clock.rate']) || null
  const defaults = metadataOf(objects, 'default')
  return objects.flatMap((object): SoundDevice[] => {
    const kind = object.info?.props?.['media.class']
    if (typeof kind !== 'string') return []
    if (kind === 'Audio/Sink') {
      const output = readNode(object, { direction: 'output', graphRateHz, defaultName: defaults['default.audio.sink'] })
      const monitor = { ...output, name: output.name + monitorSuffix, label: `Monitor of ${output.label}` }
      return [output, { ...monitor, direction: 'input', isDefault: false }]
    }
    if (!kind.startsWith('Audio/Source')) return []
    return [readNode(object, { direction: 'input', graphRateHz, defaultName: defaults['default.audio.source'] })]
  })
}

/** The values of one metadata object: numbers as they are, names out of {"name": ...}. */
function metadataOf(objects: readonly PipeWireObject[], name: string): Record<string, string> {
  const found = objects.find((o) => o.type.endsWith('Metadata') && o.props?.['metadata.name'] === name)
  return Object.fromEntries(
    (found?.metadata ?? []).map(({ key, value }) => [
      key,
      String(typeof value === 'object' && value !== null && 'name' in value ? value.name : value),
    ]),
  )
}

const plain = (choice: z.infer<typeof Choice> | undefined): z.infer<typeof Value> | undefined =>
  typeof choice === 'object' ? choice.default : choice

function readNode(
  { info }: PipeWireObject,
  options: { direction: SoundDevice['direction']; graphRateHz: number | null; defaultName: string | undefined },
): SoundDevice {
  const props = info?.props ?? {}
  const running = info?.params?.Format?.[0]
  const possible = info?.params?.EnumFormat?.[0]
  const own = info?.params?.Props?.[0]
  const sampleFormat = plain(running?.format ?? possible?.format)
  const name = String(props['node.name'] ?? '')
  const volumes = (own?.channelVolumes ?? []).map((v) => v * (own?.volume ?? 1))
  const position = running?.position ?? possible?.position
  return {
    name,
    label: String(props['node.description'] ?? props['node.nick'] ?? name),
    direction: options.direction,
    channels: Number(plain(running?.channels ?? possible?.channels)) || null,
    channelMap: position?.join(',') ?? null,
    // An idle device will run at the rate of the graph, unless it was made for one rate.
    rateHz: Number(plain(running?.rate)) || Number(props['audio.rate']) || options.graphRateHz,
    sampleFormat: typeof sampleFormat === 'string' ? sampleFormat : null,
    bits: typeof sampleFormat === 'string' ? bitsOfFormat(sampleFormat) : null,
    volume: volumes.length > 0 ? furthestFromOne(volumes) : (own?.volume ?? null),
    muted: own?.mute ?? null,
    isDefault: name === options.defaultName,
  }
}
