import { expect, test } from 'vitest'
import { frequencyRules, frequencyTicks, tickText, tickTexts } from '../src/chart/frequency-axis.ts'

test('the audio band is marked 1-2-5, both ends included', () => {
  expect(frequencyTicks(20, 20_000)).toEqual([20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000])
})

test('an end that misses 20 Hz by the last digit is still marked', () => {
  expect(frequencyTicks(2 ** Math.log2(20) + 1e-12, 20_000)[0]).toBe(20)
})

test.each([
  [100, 1000],
  [40, 60],
  [9000, 11_500],
  [632, 796],
])('%s to %s Hz has enough marks to read and not too many to write', (fromHz, toHz) => {
  const ticks = frequencyTicks(fromHz, toHz)
  expect(ticks.length).toBeGreaterThanOrEqual(2)
  expect(ticks.length).toBeLessThanOrEqual(10)
  expect(ticks.every((tick) => tick >= fromHz * 0.999 && tick <= toHz * 1.001)).toBe(true)
  expect([...ticks].sort((a, b) => a - b)).toEqual(ticks)
})

test('the ruling has nine lines a decade, as logarithmic paper has', () => {
  expect(frequencyRules(100, 999)).toEqual([100, 200, 300, 400, 500, 600, 700, 800, 900])
})

test('marks are written short', () => {
  expect([50, 1000, 1500, 20_000, 630].map(tickText)).toEqual(['50', '1k', '1.5k', '20k', '630'])
})

test('a narrow chart leaves out numbers, never the first', () => {
  const ticks = frequencyTicks(20, 20_000)
  expect(tickTexts(ticks, { narrow: true })).toEqual(['20', '50', '100', '', '500', '1k', '', '5k', '10k', ''])
  expect(tickTexts(ticks, { narrow: false })).not.toContain('')
  expect(tickTexts([200, 300, 400], { narrow: true })).toEqual(['200', '300', '400'])
})
