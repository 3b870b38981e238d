import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { compileCircuit } from '../../src/circuit/compile.ts'
import { withValues } from '../../src/circuit/netlist.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { angular, responseOf } from '../../src/circuit/response.ts'
import { plover } from './read-product.ts'

type Case = {
  positions: Record<string, number>
  values: Record<string, number>
  diodeConductance: number
  frequencyHz: number[]
  response: [number, number][]
}
// Solved in extended precision by fixtures/make-responses.py (numpy): another set of equations, with branch currents.
const { cases } = JSON.parse(readFileSync(new URL('./fixtures/responses.json', import.meta.url), 'utf8')) as {
  cases: Case[]
}
const netlist = prepareCircuit(plover.circuit)

it.each(cases.map((c, i) => [i, c] as const))('agrees with numpy to 1e-12, case %s', (_, c) => {
  const values = withValues(netlist, { ...c.values, 'D1.conductance': c.diodeConductance })
  const { re, im } = responseOf({ netlist, values, positions: c.positions, frequencyHz: c.frequencyHz })
  c.response.forEach(([r, i], k) => {
    expect(Math.hypot(re[k] - r, im[k] - i) / Math.hypot(r, i)).toBeLessThan(1e-12)
  })
})

it('steps through the program with the very same numbers as the generated code', () => {
  const generated = compileCircuit(netlist)
  const stepped = compileCircuit(netlist, { generate: false })
  const omega = angular(cases[0].frequencyHz)
  for (const { positions } of plover.settings)
    for (const kind of ['output', 'voltages', 'adjoint', 'drives', 'factors'] as const) {
      const primitives = generated.primitives(netlist.nominal, generated.shares(positions))
      const { run, stride } = generated.program(kind)
      const [a, b] = [new Float64Array(stride * omega.length), new Float64Array(stride * omega.length)]
      run(primitives, omega, a, 0)
      stepped.program(kind).run(primitives, omega, b, 0)
      expect(b).toEqual(a)
      expect(a.every(Number.isFinite)).toBe(true)
    }
})
