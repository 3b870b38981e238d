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
