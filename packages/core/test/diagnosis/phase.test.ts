import { describe, expect, it } from 'vitest'
import { delayBetween, phaseDifference, unwrap } from '../../src/diagnosis/phase.ts'

const frequencyHz = Float64Array.from({ length: 97 }, (_, i) => 20 * 10 ** (i / 32))
const omega = frequencyHz.map((f) => 2 * Math.PI * f)
const sigma = omega.map(() => 0.005)

/** A board with a notch at 1 kHz whose zero lies a little left (damping above 0) or right of the axis. */
const notch = (damping: number, delayS = 0) => {
  const re = new Float64Array(omega.length)
  const im = new Float64Array(omega.length)
  omega.forEach((w, k) => {
    const x = w / (2 * Math.PI * 1000)
    const [a, b] = [1 - x * x, damping * x]
    const [c, d] = [1 - x * x, 2 * x]
    const size = c * c + d * d
    const [hr, hi] = [(a * c + b * d) / size, (b * c - a * d) / size]
    re[k] = hr * Math.cos(w * delayS) + hi * Math.sin(w * delayS)
    im[k] = hi * Math.cos(w * delayS) - hr * Math.sin(w * delayS)
  })
  return { re, im }
}
const phaseOf = ({ re, im }: ReturnType<typeof notch>) => re.map((x, k) => Math.atan2(im[k], x))

describe('the phase of a board against a prediction', () => {
  it('gives the pure delay though the notch passes the origin on the other side', () => {
    const measured = phaseOf(notch(-0.02, 40e-6))
    // Unwrapped, as a measured curve is: one side of the notch then lies a whole turn off.
    unwrap(measured)
    // The notch's own phase is left in the median: less than one degree at 20 kHz.
    expect(Math.abs(delayBetween(omega, measured, sigma, notch(0.02)) - 40e-6)).toBeLessThan(1e-7)
  })

  it('differs by a turn nowhere, and by little beside the notch', () => {
    const measured = phaseOf(notch(-0.02))
    unwrap(measured)
    const difference = phaseDifference(measured, sigma, notch(0.02))
    const beside = difference.filter((_, k) => Math.abs(Math.log2(frequencyHz[k] / 1000)) > 0.5)
    // atan(0.02·x/(1 − x²)) twice: at half an octave off 0.08 rad.
    for (const d of beside) expect(Math.abs(d)).toBeLessThan(0.1)
  })

  it('takes out the polarity that the rig does not know, for the whole band alike', () => {
    const measured = phaseOf(notch(0.3)).map((p) => p + Math.PI)
    for (const d of phaseDifference(measured, sigma, notch(0.3))) expect(d).toBeCloseTo(0, 9)
  })
})
