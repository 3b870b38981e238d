import type { Operation, ProgramRunner, Scalar, ScalarProgram } from './scalar-program.ts'
import { wasm, wasmModule } from './wasm-module.ts'

/** What is used of the platform's WebAssembly, which the language's own library does not declare. */
type Platform = {
  Memory: new (size: { initial: number }) => { buffer: ArrayBuffer }
  Module: new (bytes: Uint8Array) => object
  Instance: new (
    module: object,
    imports: object,
  ) => { exports: { run: (omega: number, into: number, pairs: number) => void } }
}

/** Where things lie in the memory, bytes: the table of primitives, the frequencies, the results. */
const omegaAt = 8192
const intoAt = omegaAt + 16_384
const pageBytes = 65_536
const pages = 8
const mostPrimitives = omegaAt / 8
const mostFrequencies = (intoAt - omegaAt) / 8
const mostNumbers = (pages * pageBytes - intoAt) / 8

/** One memory serves all programs: each fills it, runs and reads it before another can. */
let shared: { memory: object; numbers: Float64Array } | undefined

/** Places of the locals: where the next frequencies and results lie, and how many pairs are left; then the program's own. */
const place = { omega: 0, into: 1, left: 2, numbers: 3 } as const

/**
 * Makes a program that works on two frequencies at once, in the processor's pairs of numbers: the very same operations in the
 * same order, so the very same results, about twice as fast.
 *
 * @returns undefined where the platform has no WebAssembly, forbids making code, or the program is larger than the memory
 */
export const makePairRunner = (
  program: ScalarProgram,
  outputs: readonly Scalar[],
  needed: readonly boolean[],
): ProgramRunner | undefined => {
  const platform = (globalThis as unknown as { WebAssembly?: Platform }).WebAssembly
  const stride = outputs.length
  const primitiveCount = 1 + Math.max(0, ...program.operations.map(({ code, a }) => (code === 'input' ? a : 0)))
  // At least a few pairs must fit.
  const atOnce = Math.min(mostFrequencies, 2 * Math.floor(mostNumbers / stride / 2))
  if (!platform || primitiveCount > mostPrimitives || atOnce < 8) return undefined
  try {
    shared ??= sharedMemory(platform)
    const module = new platform.Module(moduleOf(program, outputs, needed))
    const instance = new platform.Instance(module, { m: { m: shared.memory } })
    return runnerOf(instance.exports.run, shared.numbers, stride, atOnce)
  } catch {
    // A page whose security policy forbids it, or a processor without pairs: the slower forms give the same numbers.
    return undefined
  }
}

const sharedMemory = ({ Memory }: Platform) => {
  const memory = new Memory({ initial: pages })
  return { memory, numbers: new Float64Array(memory.buffer) }
}

const runnerOf = (
  run: (omega: number, into: number, pairs: number) => void,
  numbers: Float64Array,
  stride: number,
  atOnce: number,
): ProgramRunner => {
  const first = omegaAt / 8
  const results = intoAt / 8
  return (primitives, omega, into, offset) => {
    numbers.set(primitives, 0)
    for (let from = 0; from < omega.length; from += atOnce) {
      const count = Math.min(atOnce, omega.length - from)
      for (let i = 0; i < count; i++) numbers[first + i] = omega[from + i]
      // An odd one out is solved twice.
      if (count % 2 === 1) numbers[first + count] = omega[from + count - 1]
      run(omegaAt, intoAt, (count + 1) >> 1)
      copy(numbers, results, into, offset + from * stride, count * stride)
    }
  }
}

/** Few numbers are copied faster one by one than by a call. */
const copy = (from: Float64Array, at: number, into: Float64Array, offset: number, count: number) => {
  if (count > 64) into.set(from.subarray(at, at + count), offset)
  else for (let i = 0; i < count; i++) into[offset + i] = from[at + i]
}

const moduleOf = (program: ScalarProgram, outputs: readonly Scalar[], needed: readonly boolean[]): Uint8Array => {
  const placeOf = new Map<Scalar, number>()
  const local = (id: Scalar): number => {
    const found = placeOf.get(id) ?? place.numbers + placeOf.size
    placeOf.set(id, found)
    return found
  }
  const once: number[] = []
  const each: number[] = []
  const append = (list: number[], bytes: readonly number[]) => {
    for (const byte of bytes) list.push(byte)
  }
  const one = local(-1)
  append(once, [...wasm.constantTwice(1), ...wasm.set(one)])
  program.operations.forEach((operation, id) => {
    if (needed[id]) append(operation.varies ? each : once, [...codeOf(operation, local, one), ...wasm.set(local(id))])
  })
  outputs.forEach((id, k) => {
    for (const which of [0, 1] as const)
      append(each, [
        ...wasm.get(place.into),
        ...wasm.get(local(id)),
        ...wasm.storeOne(which, 8 * (which * outputs.length + k)),
      ])
  })
  append(each, [...wasm.addConstant(place.omega, 16), ...wasm.addConstant(place.into, 16 * outputs.length)])
  const body = [once, wasm.repeat(place.left, each)].flat()
  return wasmModule({ parameters: place.numbers, pairs: placeOf.size, body })
}

const codeOf = ({ code, a, b }: Operation, local: (id: Scalar) => number, one: number): number[] => {
  const get = (id: Scalar) => wasm.get(local(id))
  if (code === 'omega') return [...wasm.get(place.omega), ...wasm.loadPair(0)]
  // Address 0 is the start of the table.
  if (code === 'input') return [0x41, 0, ...wasm.loadTwice(8 * a)]
  if (code === 'constant') return wasm.constantTwice(a)
  if (code === 'reciprocal') return [...wasm.get(one), ...get(a), ...wasm.divide]
  if (code === 'negate') return [...get(a), ...wasm.negate]
  return [...get(a), ...get(b), ...wasm[code]]
}
