const order = 20

/** Nodes and weights of Gauss-Legendre quadrature on (-1, 1), by Newton's method on the polynomial (DLMF 3.5(v)). */
function gaussLegendre(): { nodes: number[]; weights: number[] } {
  const nodes: number[] = []
  const weights: number[] = []
  for (let i = 0; i < order; i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (order + 0.5))
    let slope = 1
    for (let step = 0; step < 50; step++) {
      let previous = 1
      let current = x
      for (let k = 2; k <= order; k++) {
        const next = ((2 * k - 1) * x * current - (k - 1) * previous) / k
        previous = current
        current = next
      }
      slope = (order * (x * current - previous)) / (x * x - 1)
      const change = current / slope
      x -= change
      if (Math.abs(change) < 1e-16) break
    }
    nodes.push(x)
    weights.push(2 / ((1 - x * x) * slope * slope))
  }
  return { nodes, weights }
}

const rule = gaussLegendre()

function onePanel(f: (x: number) => number, from: number, to: number): number {
  const half = (to - from) / 2
  const middle = (to + from) / 2
  let sum = 0
  for (let i = 0; i < order; i++) sum += rule.weights[i]! * f(middle + half * rule.nodes[i]!)
  return sum * half
}

/**
 * Integral of a smooth function over a finite interval, by Gauss-Legendre quadrature of order 20 on panels that are
 * halved until both halves together agree with the whole.
 * @param options.breaks points inside the interval where the function bends sharply
 * @param options.tolerance absolute error that is good enough for one panel
 */
export function integrate(options: {
  f: (x: number) => number
  from: number
  to: number
  breaks?: readonly number[]
  tolerance?: number
}): number {
  const { f, from, to, tolerance = 1e-15 } = options
  const inner = (options.breaks ?? []).filter((x) => x > from && x < to).sort((a, b) => a - b)
  const edges = [from, ...inner, to]
  let sum = 0
  for (let i = 1; i < edges.length; i++) sum += halve(edges[i - 1]!, edges[i]!, undefined, 0)
  return sum

  function halve(left: number, right: number, known: number | undefined, depth: number): number {
    const whole = known ?? onePanel(f, left, right)
    const middle = (left + right) / 2
    const first = onePanel(f, left, middle)
    const second = onePanel(f, middle, right)
    const agreed = Math.abs(first + second - whole) <= Math.max(tolerance, 1e-14 * Math.abs(whole))
    if (agreed || depth >= 30) return first + second
    return halve(left, middle, first, depth + 1) + halve(middle, right, second, depth + 1)
  }
}
