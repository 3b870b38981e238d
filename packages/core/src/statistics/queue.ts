import { BoardwrightError } from '../model/error.ts'
import { requireCount, requirePositive } from './check-argument.ts'

/** Mean number in the shop from rate and mean time in it. Source: Little, Oper. Res. 9 (1961) 383-387: L = lambda W. */
export function meanNumberInShop(options: { arrivalRate: number; meanTimeInShop: number }): number {
  requirePositive('The arrival rate', options.arrivalRate)
  requirePositive('The mean time in the shop', options.meanTimeInShop)
  return options.arrivalRate * options.meanTimeInShop
}

/** Mean time in the shop from the mean number in it and the rate. Source: Little 1961: W = L / lambda. */
export function meanTimeInShop(options: { arrivalRate: number; meanNumber: number }): number {
  requirePositive('The arrival rate', options.arrivalRate)
  requirePositive('The mean number', options.meanNumber)
  return options.meanNumber / options.arrivalRate
}

/** One bench in the long run; times in the unit of the rates. */
export interface SingleBench {
  utilisation: number
  meanNumber: number
  meanWaiting: number
  meanTimeInShop: number
  meanWaitingTime: number
}

/**
 * One bench with random arrivals and random work times (M/M/1).
 * Source: Kleinrock, "Queueing Systems" vol. 1, 3.2. Throws `bad-argument` when more comes in than can be done.
 */
export function singleBench(options: { arrivalRate: number; serviceRate: number }): SingleBench {
  const { arrivalRate, serviceRate } = options
  requirePositive('The arrival rate', arrivalRate)
  requirePositive('The service rate', serviceRate)
  if (!(arrivalRate < serviceRate)) {
    throw new BoardwrightError('bad-argument', 'More comes in than can be done: the queue grows without end.')
  }
  const utilisation = arrivalRate / serviceRate
  const spare = serviceRate - arrivalRate
  return {
    utilisation,
    meanNumber: arrivalRate / spare,
    meanWaiting: (utilisation * arrivalRate) / spare,
    meanTimeInShop: 1 / spare,
    meanWaitingTime: utilisation / spare,
  }
}

/** Probability of at least so many at one bench: utilisation to that power. Throws `bad-argument`. */
export function singleBenchTail(options: { arrivalRate: number; serviceRate: number; atLeast: number }): number {
  requireCount('The number', options.atLeast)
  return singleBench(options).utilisation ** options.atLeast
}
