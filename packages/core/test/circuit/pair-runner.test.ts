import { afterEach, describe, expect, it, vi } from 'vitest'
import { compileCircuit } from '../../src/circuit/compile.ts'
import { scalarsOf } from '../../src/circuit/complex-expression.ts'
import { writeVoltages } from '../../src/circuit/eliminate.ts'
import { makePairRunner } from '../../src/circuit/pair-runner.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { makeRunner } from '../../src/circuit/run-program.ts'
import { neededOperations } from '../../src/circuit/scalar-program.ts'
import { unsigned } from '../../src/circuit/wasm-module.ts'
import { plover } from './read-product.ts'

const netlist = prepareCircuit(plover.circuit)
const { elimination, primitives, shares } = compileCircuit(netlist)
const { program } = elimination
const outputs = scalarsOf(program, writeVoltages(elimination))
const table = primitives(netlist.nominal, shares({ bass: 0.3, treble: 0.8 }))
const omegas = (count: number) => Float64Array.from({ length: count }, (_, i) => 100 * 1.0007 ** i)
const runWith = (run: ReturnType<typeof makeRunner>, count: number, offset = 0) => {
  const into = new Float64Array(offset + outputs.length * count).fill(Number.NaN)
  run(table, omegas(count), into, offset)
  return into
}
afterEach(() => vi.unstubAllGlobals())

describe('a program on pairs of numbers', () => {
  const pairs = makePairRunner(program, outputs, neededOperations(program, outputs))!
  const stepped = makeRunner(program, outputs, { generate: false })

  // One alone, an odd one out, a full block and more than one.
  it.each([1, 2, 3, 61, 241, 2048, 5001])('gives bit for bit what stepping gives, %i frequencies', (count) => {
    expect(runWith(pairs, count)).toEqual(runWith(stepped, count))
  })

  it('writes where it is told, and nothing before', () => {
    const shifted = runWith(pairs, 7, 5)
    expect([...shifted.subarray(0, 5)].every(Number.isNaN)).toBe(true)
    expect(shifted.subarray(5)).toEqual(runWith(stepped, 7))
  })

  it('does without where there is no WebAssembly, and where making code is forbidden: the numbers stay the same', () => {
    const expected = runWith(stepped, 61)
    vi.stubGlobal('WebAssembly', undefined)
    expect(makePairRunner(program, outputs, neededOperations(program, outputs))).toBeUndefined()
    expect(runWith(makeRunner(program, outputs), 61)).toEqual(expected)
    class Forbidden {
      constructor() {
        throw new EvalError('unsafe-eval is not allowed')
      }
    }
    vi.stubGlobal('WebAssembly', { Memory: Forbidden, Module: Forbidden, Instance: Forbidden })
    vi.stubGlobal('Function', Forbidden)
    expect(runWith(makeRunner(program, outputs), 61)).toEqual(expected)
  })
})

// Examples of the LEB128 coding, DWARF debugging format 5, section 7.6, table 7.4.
it.each([
  [2, [2]],
  [127, [127]],
  [128, [0x80, 1]],
  [129, [0x81, 1]],
  [12857, [0xb9, 0x64]],
])('writes %i as the standard does', (value, bytes) => {
  expect(unsigned(value)).toEqual(bytes)
})
