/** A sound device as the system tells of it. null: the system does not say. */
export interface SoundDevice {
  /** What the programs call it. */
  name: string
  /** What a person calls it. */
  label: string
  direction: 'output' | 'input'
  channels: number | null
  /** Names of the channels in order, in the system's own words. */
  channelMap: string | null
  /** The rate the device runs at; another rate would be converted without a word. */
  rateHz: number | null
  /** Sample format in the system's own words. */
  sampleFormat: string | null
  /** Bits of a sample, from the format. */
  bits: number | null
  /** Lowest of the channels' volumes, 1 = nothing is taken away or added. */
  volume: number | null
  muted: boolean | null
  isDefault: boolean
}

/** A device of which nothing but its name is known. */
export const unknownDevice = (name: string, direction: SoundDevice['direction']): SoundDevice => ({
  name,
  label: name,
  direction,
  channels: null,
  channelMap: null,
  rateHz: null,
  sampleFormat: null,
  bits: null,
  volume: null,
  muted: null,
  isDefault: false,
})

/** Bits of a sample format such as s24le, S16LE, float32le, F32P, S24_3LE. A 32-bit float holds 24 bits exactly. */
export function bitsOfFormat(format: string): number | null {
  const bits = /(?:^|[^0-9])(8|16|24|32|64)(?:[^0-9]|$)/.exec(format)?.[1]
  if (bits === undefined) return null
  return /^f/i.test(format) ? Math.min(24, Number(bits)) : Number(bits)
}
