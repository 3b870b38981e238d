import { jointCovariance } from './cloud-statistics.ts'
import { solveDense } from './dense-solve.ts'
import { calibrateModel, type HealthyModel, type HealthyModelOptions, modelOf } from './healthy-model.ts'
import { dotProduct, leadingDirections } from './leading-directions.ts'
import { RandomSource } from './random.ts'
import { layOut, type MeasuredDeviation, testShape } from './shape-test.ts'
import { drawCloud, type ToleranceCloud } from './tolerance-cloud.ts'

/**
 * Healthy boards against a reference board that is itself one drawn board, of which the twin knows where it lies: its
 * curves are compared with the circuit as designed, as far as the rig's response can be trusted.
 */
export type ReferenceModel = {
  /** Deviation of a board from a reference that measures as designed; `modelAgainst` moves its mean. */
  board: HealthyModel
  /** The reference against the circuit as designed: a reference outside it is none that the twin describes. */
  reference: HealthyModel
  /** Boards against another that nothing is known of: for such a reference. */
  blind: HealthyModel
  nominalDb: ToleranceCloud['settings']
  /** Columns of tolerance, then of bend, whitened; and the matrix that turns what they read into the best estimate. */
  columns: Float64Array[]
  toleranceCount: number
  inverse: Float64Array[]
}

/**
 * How far the response of rig and twin may be wrong where the reference is compared with the design, dB, and over how many
 * octaves such an error changes; the rig's absolute level counts as unknown. Common practice for an interface with its
 * cables and a twin without stray paths, no source.
 */
const bendDb = 0.1
const bendOctaves = 2
const unknownLevelDb = 6

type Options = Omit<HealthyModelOptions, 'against'> & { measurementDb: number; contactDb: number; levelDb: number }

/**
 * Learns it from one cloud of drawn boards and calibrates its distances on another.
 *
 * Source: linear Gaussian estimate of the reference's own deviations (the posterior of a ridge regression), then as
 * `learnHealthyModel`.
 */
export const learnReferenceModel = (options: Options, blind: HealthyModel): ReferenceModel => {
  const { measurementDb, seed = 1, boards = 1000 } = options
  const cloud = drawCloud({ ...options, boards, seed })
  const { size, mean, covariance } = jointCovariance(cloud)
  const scaled = covariance.map((x) => x / measurementDb ** 2)
  const { variances, directions } = leadingDirections(scaled, size, blind.directions.length + 4)
  const tolerances = directions.map((d, k) => d.map((x) => x * Math.sqrt(Math.max(0, variances[k]))))
  const bends = bendsOf(cloud, options)
  const columns = [...tolerances, ...bends]
  const inverse = inverseOf(columns)
  const head = { settings: blind.settings, frequencyHz: cloud.frequencyHz, measurementDb }
  const level = levelCovariance(cloud, options)
  const known = spreadOf(tolerances, inverse)
  const draft: ReferenceModel = {
    board: modelOf({
      ...head,
      mean: new Float64Array(size),
      covariance: scaled.map((x, k) => x + known[k] + level[k]),
    }),
    reference: modelOf({
      ...head,
      mean: mean.map((x) => x / measurementDb),
      covariance: spreadOf(columns, undefined),
    }),
    blind,
    nominalDb: cloud.settings,
    columns,
    toleranceCount: tolerances.length,
    inverse,
  }
  return calibrated(draft, options)
}

/**
 * Ways in which the rig's response and the twin's errors may bend the reference's curves, whitened: smooth bends alike at all
 * settings, the level of the whole rig, and that of each contact.
 */
const bendsOf = ({ frequencyHz, settings }: ToleranceCloud, { measurementDb, contactDb }: Options): Float64Array[] => {
  const n = frequencyHz.length
  const kernel = Float64Array.from({ length: n * n }, (_, k) => {
    const octaves = Math.log2(frequencyHz[Math.floor(k / n)] / frequencyHz[k % n])
    return ((bendDb / measurementDb) * Math.exp(-0.25 * (octaves / bendOctaves) ** 2)) ** 2
  })
  const { variances, directions } = leadingDirections(kernel, n, Math.min(16, n))
  const smooth = directions.map((d, k) => repeated(d, settings.length, Math.sqrt(Math.max(0, variances[k]))))
  const whole = new Float64Array(n * settings.length).fill(unknownLevelDb / measurementDb)
  const contacts = settings.map((_, s) =>
    Float64Array.from({ length: n * settings.length }, (_, k) =>
      Math.floor(k / n) === s ? contactDb / measurementDb : 0,
    ),
  )
  return [...smooth, whole, ...(contactDb > 0 ? contacts : [])]
}

const repeated = (d: Float64Array, times: number, scale: number): Float64Array =>
  Float64Array.from({ length: d.length * times }, (_, k) => d[k % d.length] * scale)

/** Inverse of 1 + JᵀJ, column by column. */
const inverseOf = (columns: readonly Float64Array[]): Float64Array[] => {
  const q = columns.length
  const matrix = Float64Array.from({ length: q * q }, (_, k) => {
    const [i, j] = [Math.floor(k / q), k % q]
    return dotProduct(columns[i], columns[j]) + (i === j ? 1 : 0)
  })
  return columns.map((_, i) => {
    const unit = new Float64Array(q)
    unit[i] = 1
    // Positive definite by construction: it cannot be singular.
    solveDense(matrix.slice(), unit)
    return unit
  })
}

/** Covariance J M Jᵀ of columns whose weights have the covariance M (the unit matrix when left out). */
const spreadOf = (columns: readonly Float64Array[], weights: readonly Float64Array[] | undefined): Float64Array => {
  const size = columns[0]?.length ?? 0
  const spread = new Float64Array(size * size)
  columns.forEach((column, i) => {
    const mixed = new Float64Array(size)
    columns.forEach((other, j) => {
      const weight = weights ? weights[i][j] : i === j ? 1 : 0
      if (weight !== 0) for (let k = 0; k < size; k++) mixed[k] += weight * other[k]
    })
    for (let r = 0; r < size; r++) for (let c = 0; c < size; c++) spread[r * size + c] += column[r] * mixed[c]
  })
  return spread
}

const levelCovariance = (cloud: ToleranceCloud, { levelDb, contactDb, measurementDb }: Options): Float64Array => {
  const n = cloud.frequencyHz.length
  const size = n * cloud.settings.length
  return Float64Array.from({ length: size * size }, (_, k) => {
    const sameSetting = Math.floor(k / size / n) === Math.floor((k % size) / n)
    return (levelDb ** 2 + (sameSetting ? contactDb ** 2 : 0)) / measurementDb ** 2
  })
}

/** Best estimate of the reference's own whitened deviation, less its mean, from the measured one less its mean. */
const estimate = ({ columns, toleranceCount, inverse }: ReferenceModel, measured: Float64Array): Float64Array => {
  const read = columns.map((column) => dotProduct(column, measured))
  const estimated = new Float64Array(measured.length)
  for (let i = 0; i < toleranceCount; i++) {
    const weight = dotProduct(inverse[i], read)
    for (let k = 0; k < estimated.length; k++) estimated[k] += weight * columns[i][k]
  }
  return estimated
}

/** Draws references and boards as a rig would measure them, and calibrates both models on them. */
const calibrated = (draft: ReferenceModel, options: Options): ReferenceModel => {
  const { measurementDb, levelDb, contactDb, seed = 1, boards = 1000 } = options
  const fresh = drawCloud({ ...options, boards: Math.max(500, boards / 2), seed: seed + 7919 })
  const random = new RandomSource(seed + 15_485_863)
  const n = fresh.frequencyHz.length
  const own = (b: number) =>
    Float64Array.from({ length: n * fresh.settings.length }, (_, k) => {
      const { deviationDb } = fresh.settings[Math.floor(k / n)]
      return deviationDb[b * n + (k % n)] / measurementDb
    })
  const bends = draft.columns.slice(draft.toleranceCount)
  const references = Array.from({ length: fresh.boards }, (_, b) => {
    const measured = own(b).map((x) => x + random.normal())
    for (const column of bends) {
      const weight = random.normal()
      for (let k = 0; k < measured.length; k++) measured[k] += weight * column[k]
    }
    return measured
  })
  const deviations = references.map((measured, b) => {
    const reference = own(b)
    const unit = own((b + 1) % fresh.boards)
    const level = (levelDb / measurementDb) * random.normal()
    const contacts = fresh.settings.map(() => (contactDb / measurementDb) * random.normal())
    const pulled = estimate(
      draft,
      measured.map((x, k) => x - draft.reference.mean[k]),
    )
    return unit.map((x, k) => x - reference[k] + pulled[k] + level + contacts[Math.floor(k / n)] + random.normal())
  })
  return {
    ...draft,
    reference: calibrateModel(draft.reference, references),
    board: calibrateModel(draft.board, deviations),
  }
}

/** A reference less probable than this for the twin is compared with nothing but itself. */
const strangeReference = 0.001

/**
 * The model of healthy boards against one measured reference.
 *
 * @param curves gains of the reference, dB, at every setting of the model
 */
export const modelAgainst = (
  model: ReferenceModel,
  curves: readonly { setting: string; frequencyHz: ArrayLike<number>; gainDb: ArrayLike<number> }[],
): HealthyModel => {
  const asDesigned = { ...model.reference, measurementDb: 1 }
  const gainDb = layOut(
    asDesigned,
    curves.map(({ gainDb: deviationDb, ...rest }): MeasuredDeviation => ({ ...rest, deviationDb })),
  )
  const n = model.reference.frequencyHz.length
  const deviations = model.nominalDb.map(
    ({ setting, nominalDb }, s): MeasuredDeviation => ({
      setting,
      frequencyHz: model.reference.frequencyHz,
      deviationDb: nominalDb.map((x, i) => gainDb[s * n + i] - x),
    }),
  )
  if (testShape({ model: model.reference, deviations }).probability < strangeReference) return model.blind
  const measured = layOut(model.reference, deviations).map((x, k) => x - model.reference.mean[k])
  return { ...model.board, mean: estimate(model, measured).map((x) => -x) }
}
