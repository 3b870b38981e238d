/** Where a JSON text stops being JSON, counted from 1, and what would have been right there. */
export type JsonFault = { line: number; column: number; expected: string }

// biome-ignore lint/suspicious/noControlCharactersInRegex: a JSON string must not hold control characters (RFC 8259, 7).
const string = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y
const number = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y
const word = /true|false|null/y
const space = /[ \t\n\r]*/y

/**
 * Finds the place of the first syntax error of a JSON text; undefined when there is none.
 *
 * The JavaScript engines name the place in different forms or not at all, and a maker who edits a product file by hand
 * needs line and column. Source: RFC 8259, sections 2 to 7.
 */
export const findJsonFault = (text: string): JsonFault | undefined => {
  const scan = new Scanner(text)
  try {
    scan.value()
    scan.skip()
    if (scan.at < text.length) scan.fail('the end of the file')
    return undefined
  } catch (error) {
    if (!(error instanceof Stop)) throw error
    const before = text.slice(0, scan.at).split('\n')
    return { line: before.length, column: before[before.length - 1].length + 1, expected: error.expected }
  }
}

class Stop extends Error {
  readonly expected: string
  constructor(expected: string) {
    super(expected)
    this.expected = expected
  }
}

class Scanner {
  at = 0
  private readonly text: string
  constructor(text: string) {
    this.text = text
  }

  fail(expected: string): never {
    throw new Stop(expected)
  }

  private take(pattern: RegExp): boolean {
    pattern.lastIndex = this.at
    const hit = pattern.exec(this.text)
    if (hit) this.at += hit[0].length
    return hit !== null
  }

  skip() {
    this.take(space)
  }

  value() {
    this.skip()
    const first = this.text[this.at]
    if (first === '{') this.list('}', () => this.member())
    else if (first === '[') this.list(']', () => this.value())
    else if (!this.take(string) && !this.take(number) && !this.take(word)) this.fail('a value')
  }

  private member() {
    this.skip()
    if (!this.take(string)) this.fail('a name in double quotes')
    this.skip()
    if (this.text[this.at] !== ':') this.fail('a colon')
    this.at++
    this.value()
  }

  private list(close: string, item: () => void) {
    this.at++
    this.skip()
    if (this.text[this.at] === close) {
      this.at++
      return
    }
    for (;;) {
      item()
      this.skip()
      const next = this.text[this.at]
      if (next !== ',' && next !== close) this.fail(`a comma or "${close}"`)
      this.at++
      if (next === close) return
    }
  }
}
