import { addInt, type Code, get, int, loopWhileLess, moduleOf, pair, set, shiftLeft } from './wasm-code.ts'

/** What is used of the WebAssembly interface; the pure part of core has no types for it. */
interface WasmApi {
  Module: new (bytes: Uint8Array) => object
  Instance: new (module: object, imports: object) => { exports: Record<string, unknown> }
  Memory: new (options: { initial: number }) => { buffer: ArrayBuffer }
}

/** A radix-4 pass as in `passOf4`, on byte addresses of one memory. `jump` and `step` are in bytes. */
type VectorPass = (x: number, y: number, twiddle: number, jump: number, step: number) => void

export interface VectorMemory {
  buffer: ArrayBuffer
  passOf4: VectorPass
}

const pageBytes = 65_536
// Locals: parameters x, y, twiddle, jump, step; integers; vectors.
const [x, y, twiddle, jump, step] = [0, 1, 2, 3, 4]
const [k, a, end, o, at, b, c, d] = [5, 6, 7, 8, 9, 10, 11, 12]
const firstVector = 13
const [w1r, w1i, w2r, w2i, w3r, w3i, sum, difference, odd, turned, u, signs] = Array.from(
  { length: 12 },
  (_, i) => firstVector + i,
)

/** Loads a twiddle: its real part twice, its imaginary part as (-im, +im). */
const loadTwiddle = (address: Code, re: number, im: number): Code => [
  ...set(at, address),
  ...set(re, pair.loadTwice(get(at))),
  ...set(im, pair.mul(pair.loadTwice(get(at), 8), get(signs))),
]

/** u times a twiddle: (re, im) wr + (im, re) (-wi, wi). */
const timesTwiddle = (value: Code, re: number, im: number): Code => [
  ...set(u, value),
  ...pair.add(pair.mul(get(u), get(re)), pair.mul(pair.swap(u), get(im))),
]

const butterfly = (): Code => [
  ...set(b, addInt(get(a), get(jump))),
  ...set(c, addInt(get(b), get(jump))),
  ...set(d, addInt(get(c), get(jump))),
  ...set(sum, pair.add(pair.load(get(a)), pair.load(get(c)))),
  ...set(difference, pair.sub(pair.load(get(a)), pair.load(get(c)))),
  ...set(odd, pair.add(pair.load(get(b)), pair.load(get(d)))),
  ...set(u, pair.sub(pair.load(get(b)), pair.load(get(d)))),
  // (re, im) times -i is (im, -re).
  ...set(turned, pair.mul(pair.swap(u), pair.constant(1, -1))),
  ...pair.store(get(o), pair.add(get(sum), get(odd))),
  ...set(at, addInt(get(o), get(step))),
  ...pair.store(get(at), timesTwiddle(pair.add(get(difference), get(turned)), w1r, w1i)),
  ...set(at, addInt(get(at), get(step))),
  ...pair.store(get(at), timesTwiddle(pair.sub(get(sum), get(odd)), w2r, w2i)),
  ...set(at, addInt(get(at), get(step))),
  ...pair.store(get(at), timesTwiddle(pair.sub(get(difference), get(turned)), w3r, w3i)),
]

const passCode = (): Code => [
  ...set(signs, pair.constant(-1, 1)),
  ...set(k, int(0)),
  ...set(a, get(x)),
  ...set(o, get(y)),
  ...loopWhileLess(k, jump, [
    ...loadTwiddle(addInt(get(twiddle), get(k)), w1r, w1i),
    ...loadTwiddle(addInt(get(twiddle), shiftLeft(get(k), 1)), w2r, w2i),
    ...loadTwiddle(addInt(get(twiddle), addInt(get(k), shiftLeft(get(k), 1))), w3r, w3i),
    ...set(end, addInt(get(a), get(step))),
    ...loopWhileLess(a, end, [...butterfly(), ...set(a, addInt(get(a), int(16))), ...set(o, addInt(get(o), int(16)))]),
    // Four outputs were written per input: skip the three that stand behind.
    ...set(o, addInt(get(o), addInt(get(step), shiftLeft(get(step), 1)))),
    ...set(k, addInt(get(k), get(step))),
  ]),
]

let compiled: object | null | undefined

const compile = (api: WasmApi): object | null => {
  try {
    return new api.Module(moduleOf({ parameters: 5, integers: 8, vectors: 12, body: passCode() }))
  } catch {
    // No vector instructions, or a page whose policy forbids it: the plain code does the same.
    return null
  }
}

/** Memory of at least `bytes` with the vector pass working on it, or null where there is none. */
export const vectorMemory = (bytes: number): VectorMemory | null => {
  const api = (globalThis as { WebAssembly?: WasmApi }).WebAssembly
  if (!api) return null
  compiled ??= compile(api)
  if (!compiled) return null
  try {
    const memory = new api.Memory({ initial: Math.ceil(bytes / pageBytes) })
    const instance = new api.Instance(compiled, { host: { memory } })
    return { buffer: memory.buffer, passOf4: instance.exports.run as VectorPass }
  } catch {
    // Not so much memory of this kind: plain arrays may still fit.
    return null
  }
}
