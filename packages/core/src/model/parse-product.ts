import { BoardwrightError } from './error.ts'
import { findJsonFault } from './json-fault.ts'
import { Product } from './product.ts'

/**
 * Reads a product file.
 *
 * @param text the JSON text of the file
 * @param options `source`: what to call the file in an error (its path)
 * @throws BoardwrightError `bad-product`: one error that names line and column of a syntax error, or the path of every
 *   value that is wrong and what would mend it
 */
export const parseProduct = (text: string, options: { source?: string } = {}): Product => {
  const source = options.source ?? 'The product file'
  let data: unknown
  try {
    // A byte order mark is what some editors put in front; it is not part of the JSON text (RFC 8259, section 8.1).
    data = JSON.parse(text.replace(/^\uFEFF/, ''))
  } catch (cause) {
    const fault = findJsonFault(text.replace(/^\uFEFF/, ''))
    const place = fault ? ` at line ${fault.line}, column ${fault.column}: expected ${fault.expected}` : ''
    throw new BoardwrightError('bad-product', `${source} is not JSON${place}.`, { cause })
  }
  return checkProduct(data, options)
}

/** The same for data that is already an object, such as one read from the workshop file. */
export const checkProduct = (data: unknown, options: { source?: string } = {}): Product => {
  const result = Product.safeParse(data)
  if (result.success) return result.data
  const faults = result.error.issues.map((issue) => {
    const element = nameOfElement(data, issue.path)
    return `${pathText(issue.path)}${element ? ` (${element})` : ''}: ${issue.message}`
  })
  const count = faults.length === 1 ? 'One value is' : `${faults.length} values are`
  throw new BoardwrightError(
    'bad-product',
    `${count} wrong in ${options.source ?? 'the product file'}:\n${faults.map((f) => `  ${f}`).join('\n')}`,
  )
}

const pathText = (path: PropertyKey[]): string =>
  path.length === 0
    ? 'the whole file'
    : path.map((key, i) => (typeof key === 'number' ? `[${key}]` : `${i ? '.' : ''}${String(key)}`)).join('')

/** "circuit.elements[7]" means little to a maker; "R5" does. */
const nameOfElement = (data: unknown, path: PropertyKey[]): string | undefined => {
  if (path[0] !== 'circuit' || path[1] !== 'elements' || typeof path[2] !== 'number') return undefined
  const elements = (data as { circuit?: { elements?: unknown[] } }).circuit?.elements
  const element = elements?.[path[2]] as { designator?: unknown } | undefined
  return typeof element?.designator === 'string' ? element.designator : undefined
}
