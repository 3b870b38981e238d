/**
 * Just enough of the WebAssembly binary format to write one vector routine in it: instructions are functions that give
 * bytes, operands first. Source: WebAssembly core specification 2.0, chapter 5 (opcodes from memory, proven by the tests).
 */
export type Code = number[]

const unsigned = (value: number): Code => {
  const bytes: Code = []
  let rest = value
  do {
    bytes.push((rest & 0x7f) | (rest > 0x7f ? 0x80 : 0))
    rest >>>= 7
  } while (rest > 0)
  return bytes
}

const signed = (value: number): Code => {
  const bytes: Code = []
  for (let rest = value; ; rest >>= 7) {
    const last = (rest >= 0 && rest < 64) || (rest < 0 && rest >= -64)
    bytes.push((rest & 0x7f) | (last ? 0 : 0x80))
    if (last) return bytes
  }
}

const vector = (opcode: number, ...operands: Code[]): Code => [...operands.flat(), 0xfd, ...unsigned(opcode)]
/** Alignment (as a power of two) and offset of an access to memory. */
const access = (align: number, offset: number): Code => [align, ...unsigned(offset)]

export const get = (local: number): Code => [0x20, ...unsigned(local)]
export const set = (local: number, value: Code): Code => [...value, 0x21, ...unsigned(local)]
export const int = (value: number): Code => [0x41, ...signed(value)]
export const addInt = (a: Code, b: Code): Code => [...a, ...b, 0x6a]
export const shiftLeft = (a: Code, bits: number): Code => [...a, ...int(bits), 0x74]
/** Runs `body` again as long as local `a` is under local `b` (unsigned); at least once. */
export const loopWhileLess = (a: number, b: number, body: Code): Code => [
  0x03,
  0x40,
  ...body,
  ...get(a),
  ...get(b),
  0x49,
  0x0d,
  0,
  0x0b,
]

/** Two doubles at once. */
export const pair = {
  load: (address: Code, offset = 0): Code => [...vector(0x00, address), ...access(3, offset)],
  store: (address: Code, value: Code, offset = 0): Code => [...vector(0x0b, address, value), ...access(3, offset)],
  /** One double from memory, twice. */
  loadTwice: (address: Code, offset = 0): Code => [...vector(0x0a, address), ...access(3, offset)],
  add: (a: Code, b: Code): Code => vector(0xf0, a, b),
  sub: (a: Code, b: Code): Code => vector(0xf1, a, b),
  mul: (a: Code, b: Code): Code => vector(0xf2, a, b),
  /** The two doubles change places. */
  swap: (local: number): Code => [
    ...vector(0x0d, get(local), get(local)),
    8,
    9,
    10,
    11,
    12,
    13,
    14,
    15,
    0,
    1,
    2,
    3,
    4,
    5,
    6,
    7,
  ],
  constant: (low: number, high: number): Code => [
    ...vector(0x0c),
    ...new Uint8Array(new Float64Array([low, high]).buffer),
  ],
}

const section = (id: number, content: Code): Code => [id, ...unsigned(content.length), ...content]
const list = (items: Code[]): Code => [...unsigned(items.length), ...items.flat()]
const name = (text: string): Code => list([...text].map((letter) => [letter.charCodeAt(0)]))
const integerType = 0x7f
const vectorType = 0x7b

/**
 * A module with one exported function `run` of `parameters` 32-bit integers and no result, which works on the imported
 * memory `host.memory`. Its locals are numbered: parameters, further integers, vectors.
 */
export const moduleOf = (options: {
  parameters: number
  integers: number
  vectors: number
  body: Code
}): Uint8Array => {
  const { parameters, integers, vectors, body } = options
  const locals = list([
    [...unsigned(integers), integerType],
    [...unsigned(vectors), vectorType],
  ])
  const routine = [...locals, ...body, 0x0b]
  return Uint8Array.from([
    ...[0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0],
    ...section(1, list([[0x60, ...list(Array.from({ length: parameters }, () => [integerType])), 0]])),
    ...section(2, list([[...name('host'), ...name('memory'), 0x02, 0x00, 0x01]])),
    ...section(3, list([[0]])),
    ...section(7, list([[...name('run'), 0x00, 0x00]])),
    ...section(10, list([[...unsigned(routine.length), ...routine]])),
  ])
}
