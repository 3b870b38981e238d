import { existsSync, statSync } from 'node:fs'
import { resolve } from 'node:path'
import { BoardwrightError, type Product } from '@boardwright/core'
import { makeSimulatedRig, makeWatchedFolder, type RigDriver } from '@boardwright/core/audio'
import type { Fault } from '@boardwright/core/circuit'
import { demoFaultsOf, demoLooseContactOf, demoSeed } from '@boardwright/core/demo'
import type { Workshop } from '@boardwright/core/workshop'
import type { FaultText } from './parse-option.ts'
import { UsageError } from './report-error.ts'
import { makeBackgroundRig } from './session/background-rig.ts'
import { simulatedContactDb } from './session/simulated-contact.ts'
import { makeSoundRig } from './session/sound-rig.ts'
import { rigLabelOf } from './text/rig-words.ts'

export interface RigChoice {
  rig: 'sound' | 'simulated' | 'folder'
  /** Which rig of the workshop, with --rig sound. */
  rigName?: string
  folder?: string
  seed?: number
  /** Faults that every simulated board has. */
  fault?: FaultText[]
  /** How far the level and the treble of the simulated rig have gone from what they were, dB. */
  drift?: number
  driftTreble?: number
  /** How many times faster than a real rig the simulated one is. */
  speed: number
}

export interface ChosenRig {
  rig: RigDriver
  /** What the rig is, in words. */
  label: string
  close: () => void
}

function refuseSimulation({ seed, fault, drift, driftTreble }: RigChoice): void {
  if ([seed, fault, drift, driftTreble].some((one) => one !== undefined))
    throw new UsageError('--seed, --fault, --drift and --drift-treble belong to --rig simulated.')
}

function watchedFolder(choice: RigChoice): ChosenRig {
  if (choice.folder === undefined)
    throw new UsageError('--rig folder needs --folder PATH: the folder where recordings are dropped.')
  refuseSimulation(choice)
  const folder = resolve(choice.folder)
  if (!existsSync(folder) || !statSync(folder).isDirectory())
    throw new BoardwrightError('file-not-readable', `${folder} is no folder.`)
  return { rig: makeWatchedFolder({ folder }), label: `recordings dropped in ${folder}`, close: () => {} }
}

function soundRig(
  choice: RigChoice,
  { workshop, environment }: { workshop: Workshop; environment?: NodeJS.ProcessEnv },
): ChosenRig {
  if (choice.folder !== undefined) throw new UsageError('--folder belongs to --rig folder.')
  refuseSimulation(choice)
  const name = choice.rigName
  const rig = makeSoundRig({ workshop, name, environment })
  return { rig, label: rigLabelOf(rig.settings), close: () => {} }
}

/** Faults from the command line; a pin that does not touch is named by its node. Errors: bad-argument. */
async function readFaults(texts: readonly FaultText[]): Promise<Fault[]> {
  const { Fault } = await import('@boardwright/core/circuit')
  return texts.map((text) => {
    const parsed = Fault.safeParse(text.kind === 'pin-open' ? { ...text, node: text.designator } : text)
    if (parsed.success) return parsed.data
    const example = 'such as open:C8, value:C9=33nF or pin-open:battery'
    throw new BoardwrightError(
      'bad-argument',
      `--fault ${text.kind}:${text.designator} is no fault of a part, ${example}.`,
    )
  })
}

/**
 * The rig driver that was asked for. Errors: file-not-readable (folder), bad-argument (fault).
 * @param options.inBackground compute the simulated rig in a thread of its own, for a screen that must not stand still
 */
export async function chooseRig(
  choice: RigChoice,
  options: { workshop: Workshop; product: Product; inBackground: boolean; environment?: NodeJS.ProcessEnv },
): Promise<ChosenRig> {
  if (choice.rig === 'folder') return watchedFolder(choice)
  if (choice.rig === 'sound') return soundRig(choice, options)
  if (choice.rigName !== undefined) throw new UsageError('--rig-name belongs to --rig sound.')
  if (choice.folder !== undefined) throw new UsageError('--folder belongs to --rig folder.')
  const { product, inBackground } = options
  const { seed = demoSeed, speed } = choice
  const drift = { levelDb: choice.drift ?? 0, trebleDb: choice.driftTreble ?? 0 }
  const everyBoard = choice.fault && (await readFaults(choice.fault))
  const label = 'computed boards; no real board is measured'
  const faultsOf = (serial: string) => everyBoard ?? demoFaultsOf(serial)
  const looseContactOf = (serial: string) => (everyBoard ? [] : demoLooseContactOf(serial))
  if (!inBackground) {
    const contactDb = simulatedContactDb
    const rig = makeSimulatedRig({ product, seed, speed, faultsOf, looseContactOf, drift, contactDb })
    return { rig, label, close: () => {} }
  }
  const rig = makeBackgroundRig({ product, seed, speed, everyBoard, drift })
  return { rig, label, close: rig.close }
}
