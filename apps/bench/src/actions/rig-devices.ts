import { formatRate, type SoundFamily } from '@boardwright/core'
import type { SoundDevice } from '@boardwright/core/audio'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { findDevices } from '../session/setup/devices.ts'
import { textTable } from '../text/table.ts'

function row({ direction, name, label, channels, rateHz, sampleFormat, isDefault, volume, muted }: SoundDevice) {
  const state = [
    isDefault ? 'default' : '',
    muted ? 'muted' : '',
    volume !== null && Math.abs(volume - 1) > 0.001 ? `volume ${Math.round(100 * volume)} %` : '',
  ]
  return [
    `  ${direction}`,
    name,
    channels === null ? '? channels' : `${channels} ${channels === 1 ? 'channel' : 'channels'}`,
    rateHz === null ? '? Hz' : formatRate(rateHz),
    sampleFormat ?? '?',
    [label === name ? '' : label, ...state].filter((text) => text !== '').join(', '),
  ]
}

/** `boardwright rig devices`: what this computer can play and record with. */
export async function rigDevices(context: CommandContext, options: { family?: SoundFamily }) {
  const found = await findDevices(context.env, options.family)
  if (context.json) printJson(context, found)
  else {
    print(context, `Sound by ${found.family}. Take the names for: boardwright rig set --output NAME --input NAME`)
    print(context, textTable([...found.outputs, ...found.inputs].map(row)))
    if (!found.listsAll) print(context, 'Devices that are not listed can be named too, as the sound system calls them.')
  }
  return exitCode.ok
}
