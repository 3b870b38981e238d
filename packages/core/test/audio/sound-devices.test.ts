import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { parseAlsaCards, parseAlsaMixer, parseAlsaNames } from '../../src/audio/alsa-devices.ts'
import { parseMacDevices } from '../../src/audio/mac-devices.ts'
import { parsePipeWireDevices } from '../../src/audio/pipewire-devices.ts'
import { parsePulseDevices } from '../../src/audio/pulse-devices.ts'
import { bitsOfFormat } from '../../src/audio/sound-device.ts'

// The fixtures are what the programs of Debian 12 printed: pactl 16.1 and pw-dump 0.3.65, cut to some of the objects.
const fixture = (name: string) => readFileSync(new URL(`fixtures/${name}`, import.meta.url), 'utf8')

test('PulseAudio: an output at 50 %, which takes 18 dB, and an input that is muted', () => {
  const outputs = parsePulseDevices({ text: fixture('pactl-sinks.json'), direction: 'output', defaultName: 'rig' })
  expect(outputs.map(({ name, rateHz, volume, isDefault }) => [name, rateHz, volume, isDefault])).toEqual([
    // A filter in front of an output shares its volume.
    ['rig', 48_000, 0.5, true],
    ['rig96', 96_000, 1, false],
    ['dut_min', 48_000, 0.5, false],
  ])
  expect(outputs[0]).toMatchObject({ channels: 2, channelMap: 'front-left,front-right', bits: 24, muted: false })
  const inputs = parsePulseDevices({ text: fixture('pactl-sources.json'), direction: 'input' })
  expect(inputs.map(({ name, label, muted }) => [name, label, muted])).toEqual([
    ['rig.monitor', 'Monitor of rig', false],
    ['rig_in', 'rig_in', true],
  ])
})

test('PipeWire: outputs, their monitors and inputs; rates from the device, or from the graph', () => {
  const devices = parsePipeWireDevices(fixture('pw-dump.json'))
  expect(devices.map(({ name, direction, rateHz, isDefault }) => [name, direction, rateHz, isDefault])).toEqual([
    ['rig', 'output', 48_000, true],
    ['rig.monitor', 'input', 48_000, false],
    ['mic', 'input', 48_000, true],
  ])
  expect(devices[0]).toMatchObject({ channels: 2, channelMap: 'FL,FR', sampleFormat: 'F32P', bits: 24, volume: 1 })
  // wpctl set it to 50 %; the factor on the samples is its cube.
  expect(devices[2].volume).toBe(0.125)
  const forced = fixture('pw-dump.json').replace(/("key": "clock.force-rate",\s*"type": "",\s*"value": )0/, '$144100')
  // The rig was made for one rate, and so says its format; the input has any rate and takes that of the graph.
  expect(parsePipeWireDevices(forced).map((d) => d.rateHz)).toEqual([48_000, 48_000, 44_100])
})

// In the form that alsa-utils 1.2 prints; the card is an invented one.
const aplayList = `**** List of PLAYBACK Hardware Devices ****
card 0: PCH [HDA Intel PCH], device 0: ALC257 Analog [ALC257 Analog]
  Subdevices: 1/1
  Subdevice #0: subdevice #0
card 2: Wren [Wren 2x2], device 0: USB Audio [USB Audio]
  Subdevices: 0/1
  Subdevice #0: subdevice #0
`
const mixer = `Simple mixer control 'PCM',0
  Capabilities: pvolume pswitch
  Playback channels: Front Left - Front Right
  Limits: Playback 0 - 255
  Mono:
  Front Left: Playback 255 [100%] [0.00dB] [on]
  Front Right: Playback 128 [50%] [-20.00dB] [off]
Simple mixer control 'Mic',0
  Capabilities: pvolume cvolume pswitch cswitch
  Playback channels: Mono
  Capture channels: Mono
  Limits: Playback 0 - 31 Capture 0 - 31
  Mono: Playback 0 [0%] [-60.00dB] [off] Capture 10 [32%] [0.00dB] [on]
`

test('ALSA: cards by their names, and what stands between a sound and its plug', () => {
  expect(parseAlsaCards(aplayList, 'output').map(({ name, label }) => [name, label])).toEqual([
    ['plughw:CARD=PCH,DEV=0', 'HDA Intel PCH, ALC257 Analog'],
    ['plughw:CARD=Wren,DEV=0', 'Wren 2x2, USB Audio'],
  ])
  expect(parseAlsaMixer(mixer)).toEqual({ volume: 0.5, muted: true })
  expect(parseAlsaMixer('')).toEqual({ volume: null, muted: null })
  expect(parseAlsaCards('aplay: device_list:274: no soundcards found...', 'output')).toEqual([])
  const names =
    'null\n    Discard all samples\ndefault\n    Playback/recording through PulseAudio\nhw:CARD=PCH,DEV=0\n    x\n'
  expect(parseAlsaNames(names, 'input')).toMatchObject([
    { name: 'default', label: 'Playback/recording through PulseAudio', isDefault: true },
  ])
})

test('macOS: channels and rates', () => {
  // The form of system_profiler of macOS 15, as public repositories keep it; names are invented. Not tried on a computer.
  const text = JSON.stringify({
    SPAudioDataType: [
      {
        _name: 'coreaudio_device',
        _items: [
          { _name: 'Wren 2x2', coreaudio_device_input: 2, coreaudio_device_output: 2, coreaudio_device_srate: 44_100 },
          { _name: 'Speakers', coreaudio_default_audio_output_device: 'spaudio_yes', coreaudio_device_output: 2 },
        ],
      },
    ],
  })
  expect(parseMacDevices(text).map((d) => [d.name, d.direction, d.channels, d.rateHz, d.isDefault])).toEqual([
    ['Wren 2x2', 'output', 2, 44_100, false],
    ['Wren 2x2', 'input', 2, 44_100, false],
    ['Speakers', 'output', 2, null, true],
  ])
})

test.each([
  ['s16le', 16],
  ['s24-32le', 24],
  ['S24_3LE', 24],
  ['float32le', 24],
  ['F32P', 24],
  ['s32le', 32],
  ['u8', 8],
  ['ulaw', null],
])('a sample of %s has %s bits', (format, bits) => {
  expect(bitsOfFormat(format)).toBe(bits)
})
