import type { Circuit } from '../model/circuit.ts'

/**
 * The circuit on another battery: every supply has this voltage, each with its own sign.
 * @param voltageV of one supply, V
 */
export const withSupply = <P extends { circuit: Circuit }>(product: P, voltageV: number): P => ({
  ...product,
  circuit: {
    ...product.circuit,
    elements: product.circuit.elements.map((element) =>
      element.kind === 'source' && element.role === 'supply'
        ? { ...element, value: /^\s*[-\u2212]/.test(String(element.value)) ? -voltageV : voltageV }
        : element,
    ),
  },
})
