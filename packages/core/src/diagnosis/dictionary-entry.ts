import { type Prediction, predict, type Tap } from './predict.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'

const kept = new WeakMap<PreparedHypothesis, Map<string, Prediction>>()

const keys = new WeakMap<Tap, string>()

const tapKey = (tap: Tap): string => {
  const found = keys.get(tap)
  if (found !== undefined) return found
  const made = writtenKey(tap)
  keys.set(tap, made)
  return made
}

const writtenKey = ({ positions, node, omega }: Tap): string =>
  `${JSON.stringify(positions)} ${node ?? ''} ${omega.length} ${omega[0]} ${omega[omega.length - 1]}`

/**
 * What a hypothesis predicts with everything else as designed; kept, since every board asks the same.
 *
 * @param free size of a fault whose size is fitted, in its own deviations from where it starts
 */
export const dictionaryEntry = (prepared: PreparedHypothesis, tap: Tap, free = 0): Prediction => {
  const map = kept.get(prepared) ?? new Map<string, Prediction>()
  kept.set(prepared, map)
  const key = `${free} ${tapKey(tap)}`
  const found = map.get(key)
  if (found) return found
  const made = predict(prepared, { latents: new Float64Array(prepared.twin.latents.count), free }, tap)
  map.set(key, made)
  return made
}
