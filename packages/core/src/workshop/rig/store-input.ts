import { BoardwrightError } from '../../model/error.ts'
import { type RigSettings, usualRigName } from '../../model/rig.ts'
import { inputHum } from '../../response/level/input-hum.ts'
import { inputNoise, loudestDbfs } from '../../response/level/input-noise.ts'
import { resistancesFromDrops } from '../../response/level/resistances-from-drops.ts'
import { nowOf, type VerbContext } from '../verb-context.ts'
import type { MeasureResistances, NamedRig, StoreInputNoise } from './rig-verbs.ts'
import { makeVersion, needRig } from './save-rig-settings.ts'

/** Keeps how much noise the input has and how loud it gets. Errors: bad-argument, no-rig. */
export function storeInputNoise(context: VerbContext, what: StoreInputNoise): RigSettings {
  const { name = usualRigName, silence, tone, rateHz } = what
  needRig(context, { name })
  const noise = {
    measuredAt: nowOf(context),
    ...inputNoise({ samples: silence, rateHz }),
    loudestDbfs: loudestDbfs(tone),
  }
  return makeVersion(context, { name, verb: 'store-noise', change: () => ({ noise }) })
}

/** Keeps the mains hum in the input. Errors: bad-argument, no-rig. */
export function storeHum(
  context: VerbContext,
  what: NamedRig & { silence: Float64Array; rateHz: number },
): RigSettings {
  const { name = usualRigName, silence, rateHz } = what
  needRig(context, { name })
  const hum = { measuredAt: nowOf(context), ...inputHum({ samples: silence, rateHz }) }
  return makeVersion(context, { name, verb: 'store-hum', change: () => ({ hum }) })
}

/** Keeps source and load resistance, from the drops of a level. Errors: bad-argument, no-rig. */
export function storeResistances(context: VerbContext, what: MeasureResistances): RigSettings {
  const { name = usualRigName, ...drops } = what
  needRig(context, { name })
  const found = resistancesFromDrops(drops)
  if (!found)
    throw new BoardwrightError('bad-argument', 'The levels do not fall as one resistor would make them fall.', {
      remedy: 'Use a resistor between 1 and 47 kohm, look at the plugs, and measure all three again.',
    })
  return makeVersion(context, { name, verb: 'store-resistances', change: () => found })
}
