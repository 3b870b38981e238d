/**
 * A value as significant digits and the number of zeros after them, as on a body that has no room for a point: 47000 with
 * two digits is 47 and 3. @returns undefined when the value needs more digits or the zeros leave `zeros`
 */
export function splitDigits(
  value: number,
  options: { digits: number; zeros: { least: number; most: number } },
): { digits: string; zeros: number } | undefined {
  const { digits: count, zeros: range } = options
  if (!(value > 0) || !Number.isFinite(value)) return undefined
  const [mantissa, exponent] = value.toExponential(count - 1).split('e')
  // A value that came through a sum or a prefix may be off in its last binary place.
  if (Math.abs(Number(`${mantissa}e${exponent}`) / value - 1) > 1e-9) return undefined
  const zeros = Number(exponent) - (count - 1)
  return zeros < range.least || zeros > range.most ? undefined : { digits: mantissa!.replace('.', ''), zeros }
}

/**
 * The code of digits and zeros: 47000 is "473" with two digits, "4702" with three; below the digits' own size a letter R
 * stands for the point: "5R6". Source: IEC 60062, from general knowledge.
 */
export function digitCode(value: number, digits: number): string | undefined {
  const split = splitDigits(value, { digits, zeros: { least: -(digits + 1), most: 9 } })
  if (!split) return undefined
  if (split.zeros >= 0) return split.digits + split.zeros
  const point = digits + split.zeros
  const padded = split.digits.padStart(digits - Math.min(0, point), '0')
  const at = Math.max(0, point)
  const whole = padded.slice(0, at)
  return `${whole || '0'}R${padded.slice(at)}`
}
