import type { SettingMeasurement } from '@boardwright/core'

/** The curves of one board, as far as they can be trusted. */
export interface BoardCurves {
  serial: string
  settings: Pick<SettingMeasurement, 'setting' | 'curve'>[]
}

export interface Likeness {
  serial: string
  /** Root mean square difference of the gain over all settings, level included, dB. */
  differenceDb: number
}

/** Where curves are compared: below stands hum, above the last of the noise, Hz. */
const fromHz = 60
const toHz = 12_000

/**
 * How much two boards differ. Boards built of parts with tolerances differ by a tenth of a decibel and more; one board that
 * was left in the rig differs from itself by its noise.
 * @returns undefined without curves on the same grid
 */
function likenessOf(one: BoardCurves, other: BoardCurves): Likeness | undefined {
  let sum = 0
  let count = 0
  for (const { setting, curve } of one.settings) {
    const second = other.settings.find((s) => s.setting === setting)?.curve
    if (!curve || second?.frequencyHz.length !== curve.frequencyHz.length) return undefined
    curve.frequencyHz.forEach((f, i) => {
      if (f < fromHz || f > toHz) return
      sum += (curve.gainDb[i] - second.gainDb[i]) ** 2
      count++
    })
  }
  return count === 0 ? undefined : { serial: other.serial, differenceDb: Math.sqrt(sum / count) }
}

/** Boards that differ by less are taken for one, dB. Our own choice: the noise of a quiet rig is below, the tolerances of parts are far above. */
const sameBoardDb = 0.01

/** The board of an earlier visit that this one seems to be, whatever its serial number says. */
export function sameBoardAs(board: BoardCurves, earlier: readonly BoardCurves[]): Likeness | undefined {
  return earlier
    .filter((one) => one.serial !== board.serial)
    .map((one) => likenessOf(board, one))
    .filter((one) => one !== undefined)
    .filter((one) => one.differenceDb < sameBoardDb)
    .sort((a, b) => a.differenceDb - b.differenceDb)[0]
}
