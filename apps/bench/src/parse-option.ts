import { InvalidArgumentError } from 'commander'

const plainNumber = /^[+-]?(\d+\.?\d*|\.\d+)$/

/** A plain decimal number; "48k", "1e3", "" and "0x10" are refused with a sentence, not guessed at. */
export function parseNumber(text: string): number {
  if (!plainNumber.test(text)) throw new InvalidArgumentError(`Write a plain number such as 48000 or 0.5.`)
  return Number(text)
}

/** A number above zero. */
export function parsePositive(text: string): number {
  const value = parseNumber(text)
  if (!(value > 0)) throw new InvalidArgumentError('Write a number above zero.')
  return value
}

/** A whole number from `least` to `most`. */
export const parseWhole =
  (range: { least: number; most: number }) =>
  (text: string): number => {
    const value = parseNumber(text)
    if (!Number.isInteger(value) || value < range.least || value > range.most)
      throw new InvalidArgumentError(`Write a whole number from ${range.least} to ${range.most}.`)
    return value
  }

export interface FaultText {
  kind: string
  designator: string
  value?: string
}

/** Collects `--fault KIND:DESIGNATOR[=VALUE]`. */
export function collectFault(text: string, before: readonly FaultText[] = []): FaultText[] {
  const match = /^([a-z-]+):([A-Za-z0-9]+)(?:=(.+))?$/.exec(text)
  if (!match) throw new InvalidArgumentError('Write kind, colon and part, such as open:C8 or value:C9=33nF.')
  const [, kind, designator, value] = match
  return [...before, { kind, designator, value }]
}

export interface SettingFile {
  setting: string
  path: string
}

/** Collects `--setting NAME=FILE.wav`, which may be given more than once. */
export function collectSettingFile(text: string, before: readonly SettingFile[] = []): SettingFile[] {
  const at = text.indexOf('=')
  if (at < 1 || at === text.length - 1)
    throw new InvalidArgumentError('Write the name of the setting, an equals sign and the file: --setting max=A.wav')
  return [...before, { setting: text.slice(0, at), path: text.slice(at + 1) }]
}

/** Collects a text that may be given more than once. */
export const collectText = (text: string, before: readonly string[] = []): string[] => [...before, text]

export interface NodeValue {
  node: string
  value: string
}

/** Collects `--volts NODE=VALUE`; the value is read with its unit later. */
export function collectNodeValue(text: string, before: readonly NodeValue[] = []): NodeValue[] {
  const at = text.indexOf('=')
  if (at < 1 || at === text.length - 1)
    throw new InvalidArgumentError('Write the node, an equals sign and the voltage, such as half=4.5V.')
  return [...before, { node: text.slice(0, at), value: text.slice(at + 1) }]
}

export interface NodeFile extends SettingFile {
  node: string
}

/** Collects `--probe NODE@SETTING=FILE.wav`. */
export function collectNodeFile(text: string, before: readonly NodeFile[] = []): NodeFile[] {
  const match = /^([^@=]+)@([^=]+)=(.+)$/.exec(text)
  if (!match) throw new InvalidArgumentError('Write node, @, setting, equals sign and file: --probe gain@max=A.wav')
  const [, node, setting, path] = match
  return [...before, { node, setting, path }]
}

export interface BandPoint {
  setting?: string
  frequencyHz: number
  upperDb: number
  lowerDb: number
}

/** Collects `--at [SETTING:]HZ=+UP/-DOWN`, such as 100=+2/-1.5 or max:100=+2/-2. */
export function collectBandPoint(text: string, before: readonly BandPoint[] = []): BandPoint[] {
  const match = /^(?:([a-z][a-z0-9-]*):)?([^=]+)=([^/]+)\/(.+)$/.exec(text)
  if (!match) throw new InvalidArgumentError('Write frequency and both limits in dB: --at 100=+2/-2 or max:100=+2/-1.5')
  const [, setting, hz, up, down] = match
  const point = { frequencyHz: parsePositive(hz), upperDb: parseNumber(up), lowerDb: parseNumber(down) }
  if (!(point.upperDb > 0 && point.lowerDb < 0))
    throw new InvalidArgumentError('The upper limit must lie above zero and the lower one below: --at 100=+2/-2')
  return [...before, setting === undefined ? point : { setting, ...point }]
}

/** Frequencies in a row, such as 20,100,1000,20000. */
export const parseFrequencies = (text: string): number[] => text.split(',').map((one) => parsePositive(one.trim()))

/** Collects `--column FIELD=HEADING`. */
export function collectColumn(text: string, before: Readonly<Record<string, string>> = {}): Record<string, string> {
  const at = text.indexOf('=')
  if (at < 1 || at === text.length - 1)
    throw new InvalidArgumentError('Write the field, an equals sign and the heading: --column part="Our number"')
  return { ...before, [text.slice(0, at).trim()]: text.slice(at + 1).trim() }
}

export interface MeasuredValue {
  name: string
  value: string
}

/** Collects `--measured NAME=VALUE`. */
export function collectMeasured(text: string, before: readonly MeasuredValue[] = []): MeasuredValue[] {
  const at = text.indexOf('=')
  if (at < 1 || at === text.length - 1)
    throw new InvalidArgumentError('Write what was measured, an equals sign and the value: resistance="46.9 kohm"')
  return [...before, { name: text.slice(0, at).trim(), value: text.slice(at + 1).trim() }]
}

/** Reads `--put-back C7,U1` or `--put-back all`. */
export const collectPlaces = (text: string): 'all' | string[] =>
  text.trim().toLowerCase() === 'all'
    ? 'all'
    : text
        .split(',')
        .map((one) => one.trim())
        .filter(Boolean)
