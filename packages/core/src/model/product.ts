import { z } from 'zod'
import { Circuit, ControlPositions } from './circuit.ts'
import { checkHardPlan, HardPlan } from './hard-plan.ts'
import { checkPartsList, PartsListEntry } from './parts-list.ts'
import { BoardLayout, checkBoard } from './placement.ts'
import { Procedure } from './procedure.ts'
import { RigCheckPlan } from './rig-check-plan.ts'
import { SerialPattern } from './serial-pattern.ts'
import { SweepSettings } from './sweep.ts'

/** A band edge: permitted deviation from the reference, dB, at a frequency; between breakpoints linear in dB over log f. */
export const Breakpoint = z.object({
  frequencyHz: z.number().positive(),
  upperDb: z.number().positive(),
  lowerDb: z.number().negative(),
})
export type Breakpoint = z.infer<typeof Breakpoint>

export const ToleranceBand = z.object({
  setting: z.string().min(1),
  /** `absolute`: the level counts; `aligned`: only the shape counts, the level is judged by `gainToleranceDb`. */
  compare: z.enum(['absolute', 'aligned']).default('absolute'),
  breakpoints: z
    .array(Breakpoint)
    .min(2, 'a band needs at least two breakpoints: its low and its high end')
    .refine((p) => p.every((b, i) => i === 0 || b.frequencyHz > p[i - 1].frequencyHz), {
      message: 'put the breakpoints in rising order of frequency, each frequency once',
    }),
})
export type ToleranceBand = z.infer<typeof ToleranceBand>

/** A knob of the product. */
export const Control = z.object({
  name: z.string().min(1),
  label: z.string().min(1),
  taper: z.enum(['linear', 'logarithmic', 'reverse-logarithmic']),
})
export type Control = z.infer<typeof Control>

/** A named position of all controls, each 0 (fully counter-clockwise) to 1 (fully clockwise). */
export const Setting = z.object({
  name: z.string().regex(/^[a-z][a-z0-9-]*$/, 'use small letters, digits and hyphens, such as "max" or "bass-only"'),
  label: z.string().min(1),
  positions: ControlPositions,
})
export type Setting = z.infer<typeof Setting>

export const TestPlan = z.object({
  stimulus: SweepSettings,
  /** Peak voltage of the sweep at the board's input; `stimulus.levelDbfs` is the same level at the interface. */
  levelV: z.number().positive(),
  /** Settings in the order they are measured. */
  settings: z.array(z.string()).min(1),
  bands: z.array(ToleranceBand),
  /** Largest permitted difference in gain at 1 kHz from the reference, dB. */
  gainToleranceDb: z.number().positive(),
  /** Largest standard uncertainty of a point that still lets a verdict be given, dB. */
  wantedUncertaintyDb: z.number().positive().default(0.1),
  /** Standard uncertainty that the rig itself adds from one contact to the next, dB. */
  rigUncertaintyDb: z.number().nonnegative().default(0.03),
  /** Probability with which a limit must be kept before `pass` or `fail` is said (JCGM 106). */
  confidence: z.number().min(0.5).max(0.9999).default(0.95),
  mirror: z.object({ max: z.string(), min: z.string(), centre: z.string(), limitDb: z.number().positive() }).optional(),
  distortion: z
    .object({ limitPercent: z.number().positive(), fromHz: z.number().positive(), toHz: z.number().positive() })
    .optional(),
  noise: z.object({ limitDbfs: z.number() }).optional(),
  /** The whole-shape test: how large a share of healthy boards it may fail, for what their parts' tolerances allow. */
  shape: z.object({ falseFail: z.number().min(1e-6).max(0.1).default(0.005) }).optional(),
  /** When the rig is proven with the reference board, and how far it may be off. */
  rigCheck: RigCheckPlan.prefault({}),
  /** How a board is pressed hard; without it that is not done. */
  hard: HardPlan.optional(),
})
export type TestPlan = z.infer<typeof TestPlan>

const ProductShape = z.object({
  id: z.string().regex(/^[a-z][a-z0-9-]*$/, 'use small letters, digits and hyphens'),
  name: z.string().min(1),
  maker: z.string().min(1),
  revision: z.string().min(1),
  revisionDate: z.iso.date(),
  controls: z.array(Control).min(1),
  settings: z.array(Setting).min(1),
  testPlan: TestPlan,
  circuit: Circuit,
  /** Where the parts sit; without it nothing is known of neighbours. */
  board: BoardLayout.optional(),
  /** What it takes; without it nothing can be laid out for a build. */
  partsList: z.array(PartsListEntry).optional(),
  procedure: Procedure.optional(),
  serialPattern: SerialPattern.optional(),
})

type Issue = (path: (string | number)[], message: string) => void

function checkSettings(product: z.infer<typeof ProductShape>, issue: Issue) {
  const names = product.settings.map((setting) => setting.name)
  const needSetting = (name: string, path: (string | number)[]) => {
    if (!names.includes(name)) issue(path, `no setting is called "${name}"; there are: ${names.join(', ')}`)
  }
  const { testPlan } = product
  for (const [i, name] of testPlan.settings.entries()) {
    needSetting(name, ['testPlan', 'settings', i])
    if (!testPlan.bands.some((band) => band.setting === name))
      issue(['testPlan', 'bands'], `add a tolerance band for setting "${name}"`)
  }
  for (const [i, band] of testPlan.bands.entries()) needSetting(band.setting, ['testPlan', 'bands', i, 'setting'])
  for (const key of ['max', 'min', 'centre'] as const)
    if (testPlan.mirror) needSetting(testPlan.mirror[key], ['testPlan', 'mirror', key])
}

function checkControls(product: z.infer<typeof ProductShape>, issue: Issue) {
  const controls = product.controls.map((control) => control.name)
  for (const [i, setting] of product.settings.entries()) {
    for (const control of controls)
      if (!(control in setting.positions)) issue(['settings', i, 'positions'], `say where control "${control}" stands`)
    for (const name of Object.keys(setting.positions))
      if (!controls.includes(name)) issue(['settings', i, 'positions', name], `no control is called "${name}"`)
  }
  for (const [i, element] of product.circuit.elements.entries())
    if (element.kind === 'potentiometer' && element.control !== undefined && !controls.includes(element.control))
      issue(['circuit', 'elements', i, 'control'], `no control is called "${element.control}"`)
}

/** A design that is made, at one revision. Cross-references are checked: every name that is used must exist. */
export const Product = ProductShape.superRefine((product, context) => {
  const issue: Issue = (path, message) => context.addIssue({ code: 'custom', path, message })
  checkSettings(product, issue)
  checkControls(product, issue)
  checkHardPlan(product, issue)
  if (product.board) checkBoard(product.board, product.circuit, issue)
  const { partsList } = product
  if (partsList) checkPartsList({ ...product, partsList }, issue)
})
export type Product = z.infer<typeof Product>
