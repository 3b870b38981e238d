import { BoardwrightError } from '../model/error.ts'

const refuse = (name: string, wanted: string, value: unknown): never => {
  throw new BoardwrightError('bad-argument', `${name} must be ${wanted}; it is ${String(value)}.`)
}

/** Refuses what is no finite number. Throws `bad-argument`. */
export function requireFinite(name: string, value: number): void {
  if (!Number.isFinite(value)) refuse(name, 'a finite number', value)
}

/** Refuses what is not above zero. Throws `bad-argument`. */
export function requirePositive(name: string, value: number): void {
  if (!(value > 0 && value < Number.POSITIVE_INFINITY)) refuse(name, 'greater than 0', value)
}

/** Refuses what is below zero. Throws `bad-argument`. */
export function requireNotNegative(name: string, value: number): void {
  if (!(value >= 0 && value < Number.POSITIVE_INFINITY)) refuse(name, '0 or more', value)
}

/** Refuses what does not lie strictly between 0 and 1. Throws `bad-argument`. */
export function requireProbability(name: string, value: number): void {
  if (!(value > 0 && value < 1)) refuse(name, 'between 0 and 1', value)
}

/** Refuses what is not a whole number of at least `least`. Throws `bad-argument`. */
export function requireCount(name: string, value: number, least = 0): void {
  if (!(Number.isSafeInteger(value) && value >= least)) refuse(name, `a whole number of at least ${least}`, value)
}

/** Refuses a list that is too short or holds something that is no finite number. Throws `bad-argument`. */
export function requireValues(name: string, values: ArrayLike<number>, least = 1): void {
  if (!(values.length >= least)) refuse(name, `at least ${least} values`, values.length)
  for (let i = 0; i < values.length; i++) requireFinite(`${name}[${i}]`, values[i]!)
}
