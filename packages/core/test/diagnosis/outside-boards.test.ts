import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { gainDbOf, responseOf } from '../../src/circuit/response.ts'
import { diagnose } from '../../src/diagnosis/diagnose.ts'
import { Circuit } from '../../src/model/circuit.ts'
import { plover } from '../circuit/read-product.ts'
import { measured } from './bench.ts'

// Failed boards worked out by fixtures/make-outside-boards.py (numpy), which shares nothing with the project: a mistake of our
// own simulator would be in our own test data too.
type Curve = { setting: string; gainDb: number[]; phaseDeg: number[] }
const outside = JSON.parse(readFileSync(new URL('./fixtures/outside-boards.json', import.meta.url), 'utf8')) as {
  frequencyHz: number[]
  elements: unknown[]
  settings: Record<string, number>
  reference: Curve[]
  boards: { fault: string; designators: string[]; curves: Curve[] }[]
}
const { frequencyHz } = outside
const circuit = Circuit.parse({ output: 'out', elements: outside.elements })
const settings = Object.entries(outside.settings).map(([name, x]) => ({
  name,
  label: name,
  positions: { bass: x, treble: x },
}))
const product = {
  ...plover,
  id: 'outside',
  circuit,
  settings,
  board: undefined,
  testPlan: { ...plover.testPlan, settings: settings.map((s) => s.name) },
}
const curveOf = ({ gainDb, phaseDeg }: Curve) => ({
  frequencyHz,
  gainDb,
  phaseDeg,
  uncertaintyDb: frequencyHz.map(() => 0.02),
})
const reference = {
  settings: outside.reference.map((one) => ({
    setting: one.setting,
    runs: 1,
    polarity: 1 as const,
    gainAt1kHzDb: 0,
    curve: curveOf(one),
    repeatabilityDb: frequencyHz.map(() => 0.02),
  })),
}
const diagnoseBoard = (fault: string) => {
  const board = outside.boards.find((b) => b.fault === fault)!
  const measurements = board.curves.map((one) => measured(one.setting, curveOf(one)))
  return { board, found: diagnose({ product, measurements, reference, checks: 0 }) }
}
const named = (fault: string) => outside.boards.find((b) => b.fault.startsWith(fault))!.fault

it('the healthy board lies as near to the design as tolerances allow', () => {
  const netlist = prepareCircuit(circuit)
  const { curves } = outside.boards[0]
  for (const { setting, gainDb } of curves) {
    const { positions } = settings.find((s) => s.name === setting)!
    const design = gainDbOf(responseOf({ netlist, positions, frequencyHz }))
    // Resistors of 1 %, capacitors of 5 %; the notch at "max" is what moves most.
    design.forEach((d, i) => {
      expect(Math.abs(d - gainDb[i])).toBeLessThan(setting === 'min' ? 0.3 : 2.5)
    })
  }
})

it.each(outside.boards.filter((b) => b.designators.length === 1 && b.designators[0] !== 'pin').map((b) => b.fault))(
  '%s: named first, and nearly alone',
  (fault) => {
    const { board, found } = diagnoseBoard(fault)
    const [first] = found.suspects
    expect(first.designators).toContain(board.designators[0])
    expect(first.probability).toBeGreaterThan(0.9)
    expect(found.noneProbability).toBeLessThan(0.05)
  },
)

it('two swapped capacitors are both named, though the notch passes the origin on the other side', () => {
  const { board, found } = diagnoseBoard(named('C5 and C6'))
  const [first] = found.suspects
  const swapped = first.suspicions.find((s) => s.kind === 'swapped')
  expect(swapped?.designators).toEqual(board.designators)
  expect(first.probability).toBeGreaterThan(0.9)
  // 294 numbers: the right explanation leaves less than one of each.
  expect(found.misfit.chiSquare).toBeLessThan(found.misfit.numbers)
})

it('a healthy board is not accused', () => {
  const { found } = diagnoseBoard('healthy')
  expect(found.healthyProbability).toBeGreaterThan(0.5)
})

it('a pin of the rig that does not touch is known, however far it stands off', () => {
  const { found } = diagnoseBoard(named('output pin'))
  expect(found.rigFault).toBe(true)
  expect(found.suspects[0].suspicions[0]).toMatchObject({ kind: 'rig-pin', nodes: ['out'] })
})

it('two faults at once are none of the dictionary', () => {
  const { found } = diagnoseBoard(named('two at once'))
  expect(found.noneProbability).toBeGreaterThan(0.5)
})
