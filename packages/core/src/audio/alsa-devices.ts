import { type SoundDevice, unknownDevice } from './sound-device.ts'

/**
 * Devices from the text of `aplay -l` or `arecord -l`, named so that a device is opened by its card's name, which stays the
 * same when another card is plugged in. Rate and format are only known once it is opened.
 */
export function parseAlsaCards(text: string, direction: SoundDevice['direction']): SoundDevice[] {
  // "card 1: Scribe [Scribe 2i2], device 0: USB Audio [USB Audio]"
  const line = /^card \d+: (\S+) \[([^\]]*)\], device (\d+): [^[]*\[([^\]]*)\]/gm
  return [...text.matchAll(line)].map(([, card, cardLabel, device, deviceLabel]) => ({
    ...unknownDevice(`plughw:CARD=${card},DEV=${device}`, direction),
    label: `${cardLabel}, ${deviceLabel}`,
  }))
}

/** The plug-ins that lead to a sound server; the others convert, or throw the sound away. */
const namedDevices = /^(default|pulse|pipewire|jack)$/

/** Devices that no card is named for, from the text of `aplay -L` or `arecord -L`: "default", "pulse". */
export function parseAlsaNames(text: string, direction: SoundDevice['direction']): SoundDevice[] {
  const lines = text.split('\n')
  return lines.flatMap((name, i): SoundDevice[] => {
    if (!namedDevices.test(name)) return []
    const label = /^\s+(\S.*)$/.exec(lines[i + 1] ?? '')?.[1] ?? name
    return [{ ...unknownDevice(name, direction), label, isDefault: name === 'default' }]
  })
}

/** Controls that stand in the way of what is played; others (microphone, direct monitoring, plugs) do not. */
const outputControls = /^(Master|PCM|Digital|Line Out)$/

/**
 * Volume and mute of a card's output, from the text of `amixer -c CARD scontents`; null where the card has no such control.
 */
export function parseAlsaMixer(text: string): Pick<SoundDevice, 'volume' | 'muted'> {
  let volume: number | null = null
  let muted: boolean | null = null
  for (const control of text.split(/^Simple mixer control /m)) {
    const name = /^'([^']+)'/.exec(control)?.[1]
    if (!name || !outputControls.test(name) || !/^ {2}Playback channels:/m.test(control)) continue
    for (const [, percent] of control.matchAll(/: Playback \d+ \[(\d+)%\]/g))
      volume = Math.min(volume ?? 1, Number(percent) / 100)
    for (const [, state] of control.matchAll(/: Playback .*\[(on|off)\]/g)) muted = muted === true || state === 'off'
  }
  return { volume, muted }
}
