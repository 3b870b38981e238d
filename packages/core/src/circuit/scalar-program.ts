/** Index of a number in a program: an input, a constant, or the result of an operation. */
export type Scalar = number

export type Operation = {
  code: 'omega' | 'input' | 'constant' | 'add' | 'subtract' | 'multiply' | 'reciprocal' | 'negate'
  /** Operands; for `input` the slot, for `constant` the number. */
  a: number
  b: number
  /** True when the result changes with frequency; everything else is worked out once per value vector. */
  varies: boolean
}

/**
 * A straight list of operations on real numbers, each used by later ones: what the elimination of one circuit topology comes
 * down to. Equal operations are kept once.
 */
export class ScalarProgram {
  readonly operations: Operation[] = []
  private readonly known = new Map<string, Scalar>()

  /** Angular frequency, rad/s. */
  omega(): Scalar {
    return this.put('omega', 0, 0, true)
  }
  /** A number of the table of primitives. */
  input(slot: number): Scalar {
    return this.put('input', slot, 0, false)
  }
  constant(value: number): Scalar {
    return this.put('constant', value, 0, false)
  }
  add(a: Scalar, b: Scalar): Scalar {
    return this.put('add', Math.min(a, b), Math.max(a, b))
  }
  subtract(a: Scalar, b: Scalar): Scalar {
    return this.put('subtract', a, b)
  }
  multiply(a: Scalar, b: Scalar): Scalar {
    return this.put('multiply', Math.min(a, b), Math.max(a, b))
  }
  reciprocal(a: Scalar): Scalar {
    return this.put('reciprocal', a, a)
  }
  negate(a: Scalar): Scalar {
    return this.put('negate', a, a)
  }

  private put(code: Operation['code'], a: number, b: number, varies?: boolean): Scalar {
    const key = `${code} ${a} ${b}`
    const found = this.known.get(key)
    if (found !== undefined) return found
    const operation = { code, a, b, varies: varies ?? (this.operations[a].varies || this.operations[b].varies) }
    const id = this.operations.push(operation) - 1
    this.known.set(key, id)
    return id
  }
}

/** True for each operation that one of the outputs needs. */
export const neededOperations = (program: ScalarProgram, outputs: readonly Scalar[]): boolean[] => {
  const needed = new Array<boolean>(program.operations.length).fill(false)
  for (const id of outputs) needed[id] = true
  for (let id = program.operations.length - 1; id >= 0; id--) {
    const { code, a, b } = program.operations[id]
    if (!needed[id] || code === 'omega' || code === 'input' || code === 'constant') continue
    needed[a] = true
    needed[b] = true
  }
  return needed
}

/**
 * Runs a program for one table of primitives over a list of frequencies.
 *
 * @param primitives the table
 * @param omega angular frequencies, rad/s
 * @param into results, `outputs.length` numbers per frequency, from `offset` on
 */
export type ProgramRunner = (primitives: Float64Array, omega: Float64Array, into: Float64Array, offset: number) => void
