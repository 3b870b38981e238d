import { makePairRunner } from './pair-runner.ts'
import {
  neededOperations,
  type Operation,
  type ProgramRunner,
  type Scalar,
  type ScalarProgram,
} from './scalar-program.ts'

/**
 * Makes a program runnable: as generated code where the page or process allows it, else by stepping through the operations,
 * which gives the very same numbers at a tenth of the speed.
 *
 * @param options `generate`: false forces the stepping form
 */
export const makeRunner = (
  program: ScalarProgram,
  outputs: readonly Scalar[],
  options: { generate?: boolean } = {},
): ProgramRunner => {
  const needed = neededOperations(program, outputs)
  if (options.generate === false) return stepRunner(program, outputs, needed)
  return (
    makePairRunner(program, outputs, needed) ??
    generateRunner(program, outputs, needed) ??
    stepRunner(program, outputs, needed)
  )
}

/** undefined when a content security policy forbids making functions from text. */
const generateRunner = (
  program: ScalarProgram,
  outputs: readonly Scalar[],
  needed: readonly boolean[],
): ProgramRunner | undefined => {
  const once: string[] = []
  const each: string[] = []
  program.operations.forEach((operation, id) => {
    if (!needed[id]) return
    const list = operation.varies ? each : once
    list.push(`const v${id} = ${codeOf(operation)};`)
  })
  const stores = outputs.map((id, k) => `into[o + ${k}] = v${id};`)
  const body = `'use strict';
${once.join('\n')}
let o = offset;
for (let i = 0; i < omega.length; i++) {
${each.join('\n')}
${stores.join('\n')}
o += ${outputs.length};
}`
  try {
    return new Function('primitives', 'omega', 'into', 'offset', body) as ProgramRunner
  } catch (error) {
    if (error instanceof EvalError) return undefined
    throw error
  }
}

const codeOf = ({ code, a, b }: Operation): string => {
  if (code === 'omega') return 'omega[i]'
  if (code === 'input') return `primitives[${a}]`
  if (code === 'constant') return String(a)
  if (code === 'add') return `v${a} + v${b}`
  if (code === 'subtract') return `v${a} - v${b}`
  if (code === 'multiply') return `v${a} * v${b}`
  if (code === 'reciprocal') return `1 / v${a}`
  return `-v${a}`
}

const stepRunner = (program: ScalarProgram, outputs: readonly Scalar[], needed: readonly boolean[]): ProgramRunner => {
  const registers = new Float64Array(program.operations.length)
  const ids = program.operations.map((_, id) => id).filter((id) => needed[id])
  const once = ids.filter((id) => !program.operations[id].varies)
  const each = ids.filter((id) => program.operations[id].varies)
  return (primitives, omega, into, offset) => {
    for (const id of once) registers[id] = step(program.operations[id], registers, primitives, 0)
    let o = offset
    for (let i = 0; i < omega.length; i++) {
      for (const id of each) registers[id] = step(program.operations[id], registers, primitives, omega[i])
      for (const id of outputs) into[o++] = registers[id]
    }
  }
}

const step = ({ code, a, b }: Operation, r: Float64Array, primitives: Float64Array, omega: number): number => {
  switch (code) {
    case 'omega':
      return omega
    case 'input':
      return primitives[a]
    case 'constant':
      return a
    case 'add':
      return r[a] + r[b]
    case 'subtract':
      return r[a] - r[b]
    case 'multiply':
      return r[a] * r[b]
    case 'reciprocal':
      return 1 / r[a]
    case 'negate':
      return -r[a]
  }
}
