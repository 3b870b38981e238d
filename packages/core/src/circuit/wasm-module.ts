// The few pages of the WebAssembly format that a straight list of operations on pairs of numbers needs.
// Source: W3C, "WebAssembly Core Specification" 2.0, chapter 5 (binary format).

/** An unsigned number in groups of seven bits. */
export const unsigned = (value: number): number[] => {
  const bytes: number[] = []
  let rest = value
  for (; rest > 127; rest = Math.floor(rest / 128)) bytes.push((rest % 128) | 128)
  bytes.push(rest)
  return bytes
}

/** A signed number in groups of seven bits. */
const signed = (value: number): number[] => {
  const bytes: number[] = []
  let rest = value
  for (;;) {
    const low = rest & 127
    rest >>= 7
    const done = (rest === 0 && low < 64) || (rest === -1 && low >= 64)
    bytes.push(done ? low : low | 128)
    if (done) return bytes
  }
}

/** Appends without spreading a long list over the arguments of a call. */
const joined = (lists: readonly (readonly number[])[]): number[] => {
  const all: number[] = []
  for (const list of lists) for (const byte of list) all.push(byte)
  return all
}

const counted = (items: readonly (readonly number[])[]): number[] => joined([unsigned(items.length), ...items])
const sized = (bytes: readonly number[]): number[] => joined([unsigned(bytes.length), bytes])
const section = (id: number, bytes: readonly number[]): number[] => joined([[id], sized(bytes)])
const text = (word: string): number[] => sized([...word].map((c) => c.charCodeAt(0)))

const type = { i32: 0x7f, v128: 0x7b, empty: 0x40 } as const

const address = (alignment: number, offset: number): number[] => [alignment, ...unsigned(offset)]
const simd = (code: number): number[] => [0xfd, ...unsigned(code)]

/** Instructions, each as its bytes. A `place` is that of a local. */
export const wasm = {
  get: (place: number) => [0x20, ...unsigned(place)],
  set: (place: number) => [0x21, ...unsigned(place)],
  addConstant: (place: number, amount: number) => [
    ...wasm.get(place),
    0x41,
    ...signed(amount),
    0x6a,
    ...wasm.set(place),
  ],
  /** Repeats a body as often as the local at `place` says, which must be at least once. */
  repeat: (place: number, body: readonly number[]) =>
    joined([[0x03, type.empty], body, wasm.addConstant(place, -1), wasm.get(place), [0x0d, 0, 0x0b]]),
  /** A pair of numbers from memory, and one number twice. */
  loadPair: (offset: number) => [...simd(0), ...address(3, offset)],
  loadTwice: (offset: number) => [...simd(10), ...address(3, offset)],
  /** Stores the first (0) or the second number of a pair. */
  storeOne: (which: 0 | 1, offset: number) => [...simd(0x5b), ...address(3, offset), which],
  constantTwice: (value: number) => {
    const bytes = new Uint8Array(Float64Array.of(value, value).buffer)
    return [...simd(12), ...bytes]
  },
  negate: simd(0xed),
  add: simd(0xf0),
  subtract: simd(0xf1),
  multiply: simd(0xf2),
  divide: simd(0xf3),
}

/**
 * A module with one exported function `run` of `parameters` whole numbers and `pairs` locals for pairs of numbers, which works
 * on a memory imported as `m.m`.
 */
export const wasmModule = (options: { parameters: number; pairs: number; body: readonly number[] }): Uint8Array => {
  const { parameters, pairs, body } = options
  const locals = counted([[...unsigned(pairs), type.v128]])
  const code = joined([locals, body, [0x0b]])
  return Uint8Array.from(
    joined([
      [0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0],
      section(1, counted([[0x60, ...counted(new Array(parameters).fill([type.i32])), 0]])),
      section(2, counted([[...text('m'), ...text('m'), 0x02, 0x00, ...unsigned(1)]])),
      section(3, counted([[0]])),
      section(7, counted([[...text('run'), 0x00, 0]])),
      section(10, counted([sized(code)])),
    ]),
  )
}
