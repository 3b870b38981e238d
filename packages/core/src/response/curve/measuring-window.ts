/** A window around an impulse: flat around its centre, raised-cosine fades on both sides. All in seconds. */
export interface MeasuringWindow {
  fadeInS: number
  flatBeforeS: number
  flatAfterS: number
  fadeOutS: number
}

/** Longest flat part and longest fade behind the impulse, s. */
export const longestFlatS = 1
/** Cycles at full weight behind the impulse, and as many again fading: the long window, the short one. */
const longCycles = 40
const shortCycles = 12
const longCyclesBefore = 8
const shortCyclesBefore = 4
/** Added to every part: at high frequencies a window still holds what lies near the impulse. */
const extraS = 0.0003

const linearWindow = (cycles: { behind: number; before: number }, frequencyHz: number, rateS: number | null) => {
  const gapS = rateS === null ? 1 : rateS * Math.LN2
  const flatAfterS = Math.min(cycles.behind / frequencyHz + extraS, longestFlatS)
  return {
    fadeInS: Math.min(cycles.before / frequencyHz + extraS, 0.25 * gapS),
    flatBeforeS: Math.min(cycles.before / frequencyHz + extraS, 0.2 * gapS),
    flatAfterS,
    fadeOutS: flatAfterS,
  }
}

/**
 * The long window of the linear response at one frequency: 40 cycles flat behind the impulse (1 s at most) and as long a
 * raised-cosine fade; 8 cycles and a fade before it, clear of the second harmonic's impulse. A resonance of Q 10 is true
 * within 0.001 dB from 40 Hz up. `chooseWindow` says when it is used.
 *
 * @param rateS L of the sweep (s), null when the stimulus has no harmonics' impulses to keep clear of
 */
export const longWindow = (frequencyHz: number, rateS: number | null): MeasuringWindow =>
  linearWindow({ behind: longCycles, before: longCyclesBefore }, frequencyHz, rateS)

/** The short window: 12 cycles behind, 4 before. It lets in a third of the noise and is true for smooth responses. */
export const shortWindow = (frequencyHz: number, rateS: number | null): MeasuringWindow =>
  linearWindow({ behind: shortCycles, before: shortCyclesBefore }, frequencyHz, rateS)

/**
 * The window for harmonic `order` at its own frequency: it fades out before the neighbouring harmonics' impulses, which
 * stand L ln((k + 1) / k) before and L ln(k / (k - 1)) behind.
 */
export const harmonicWindow = (frequencyHz: number, rateS: number, order: number): MeasuringWindow => {
  const gapBeforeS = rateS * Math.log((order + 1) / order)
  const gapAfterS = rateS * Math.log(order / (order - 1))
  const beforeS = shortCyclesBefore / frequencyHz + extraS
  const afterS = shortCycles / frequencyHz + extraS
  return {
    fadeInS: Math.min(beforeS, 0.35 * gapBeforeS),
    flatBeforeS: Math.min(beforeS, 0.3 * gapBeforeS),
    flatAfterS: Math.min(afterS, 0.35 * gapAfterS),
    fadeOutS: Math.min(afterS, 0.35 * gapAfterS),
  }
}

/** The window that reads the noise: up to 10 cycles or 0.12 s to either side, all fade. */
export const noiseWindow = (frequencyHz: number): MeasuringWindow => {
  const fadeS = Math.min(10 / frequencyHz + extraS, longestNoiseFadeS)
  return { fadeInS: fadeS, flatBeforeS: 0, flatAfterS: 0, fadeOutS: fadeS }
}

export const longestNoiseFadeS = 0.12

/** Weight of the window at `atS` seconds from its centre. */
export const windowWeight = (window: MeasuringWindow, atS: number): number => {
  const beyond = atS < 0 ? -atS - window.flatBeforeS : atS - window.flatAfterS
  const fade = atS < 0 ? window.fadeInS : window.fadeOutS
  if (beyond <= 0) return 1
  return beyond >= fade ? 0 : 0.5 + 0.5 * Math.cos((Math.PI * beyond) / fade)
}
