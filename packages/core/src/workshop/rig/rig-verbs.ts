import type { RigChanges, RigSettings, RigVersion } from '../../model/rig.ts'
import type { ContactKind } from '../../response/level/contact-check.ts'
import type { LevelUnit, SineReading } from '../../response/level/level-calibration.ts'
import type { SweepSignal } from '../../response/sweep/sweep-signal.ts'
import type { WaveAudio } from '../../response/wave/wave-format.ts'

/** Which rig is meant; a workshop with one rig need not say it. */
export interface NamedRig {
  name?: string
}

export interface SaveRigSettings extends NamedRig {
  /** The first version needs an output and an input; later ones only what changes. */
  changes: RigChanges
}

/** A tone that was played with the output plugged into the input, and read by a voltmeter at the plug. */
interface ToneReading {
  playedDbfs: number
  recordedDbfs: number
  frequencyHz: number
  readingV: number
  reading: SineReading
}

export interface CalibrateLevels extends NamedRig {
  from:
    | ({ kind: 'voltmeter' } & ToneReading)
    /** The largest levels of output and input as the data of the interface tell them. */
    | { kind: 'data'; output: DataLevel; input: DataLevel }
}

export interface DataLevel {
  level: number
  unit: LevelUnit
}

export interface StoreCorrection extends NamedRig {
  sweep: SweepSignal
  /** With the output plugged into the input, a wire in place of the board. */
  recording: WaveAudio
}

export interface StoreInputNoise extends NamedRig {
  /** What came in while nothing was played, and while a tone was played at the level limit; the response channel. */
  silence: Float64Array
  tone: Float64Array
  rateHz: number
}

/** Voltages of one tone at the rig's input, in any unit: as it is, and changed by a known resistor. */
export interface MeasureResistances extends NamedRig {
  resistorOhm: number
  /** Output straight into the input. */
  straight: number
  /** The resistor between output and input. */
  inSeries: number
  /** The resistor from the plug to ground. */
  toGround: number
}

/** How loud the sweep comes back through the board that amplifies most. */
export interface Headroom {
  /** Largest gain of a board at any setting of the test plan, by the circuit twin, dB. */
  boardGainDb: number
  expectedPeakDbfs: number
  /** By how much the input must be turned down, dB; 0 when there is room. */
  turnDownDb: number
}

/** A unit that was swept although its contact check was against it. */
export interface ContactOverridden {
  serial: string
  setting: string
  kind: ContactKind
  /** What the contact check said. */
  message: string
}

/** What the workshop knows of its rigs. Every change is a new version with its entry in the journal. */
export interface RigVerbs {
  /** The settings in force; undefined when this rig was never set up. */
  current(name?: string): RigSettings | undefined
  /** One version. Errors: not-found. */
  version(which: RigVersion): RigSettings
  /** Newest first. */
  history(name?: string): RigSettings[]
  /** Names of all rigs. */
  names(): string[]
  /** Errors: bad-argument, no-rig. */
  save(what: SaveRigSettings): RigSettings
  /** Errors: bad-argument, no-rig. */
  calibrateLevels(what: CalibrateLevels): RigSettings
  /** Errors: bad-argument, no-rig, recording-refused. */
  storeCorrection(what: StoreCorrection): RigSettings
  /** Errors: bad-argument, no-rig. */
  storeInputNoise(what: StoreInputNoise): RigSettings
  /** Errors: bad-argument, no-rig. */
  storeHum(what: NamedRig & { silence: Float64Array; rateHz: number }): RigSettings
  /** Whether the loudest board would overload the input. Errors: bad-argument before a noise check, no-rig, not-found. */
  headroom(what: NamedRig & { productId?: string }): Headroom
  /** Source and load resistance from three readings. Errors: bad-argument, no-rig. */
  storeResistances(what: MeasureResistances): RigSettings
  /** Keeps in the journal that a contact check was overruled. Errors: bad-serial. */
  noteContactOverridden(what: ContactOverridden): void
}
