import { expect, test } from 'vitest'
import { matchRecordings } from '../src/upload/match-recordings.ts'

const settings = ['max', 'min', 'only', 'bass-only']

test('each file goes to the setting at the end of its name', () => {
  const { bySetting, unmatched, serial } = matchRecordings(['plv-0042-MIN.WAV', 'PLV-0042-max.wav'], settings)
  expect(Object.fromEntries(bySetting)).toEqual({ min: 'plv-0042-MIN.WAV', max: 'PLV-0042-max.wav' })
  expect(unmatched).toEqual([])
  expect(serial).toBe('PLV-0042')
})

test('a longer setting wins over one that is its end', () => {
  expect([...matchRecordings(['A1-bass-only.wav'], settings).bySetting]).toEqual([['bass-only', 'A1-bass-only.wav']])
})

test('two files for one setting, and a name without a setting, are left to the maker', () => {
  const { bySetting, unmatched, serial } = matchRecordings(
    ['A-max.wav', 'B-max.wav', 'take3.wav', 'climax.wav'],
    settings,
  )
  expect([...bySetting]).toEqual([['max', 'A-max.wav']])
  expect(unmatched).toEqual(['B-max.wav', 'take3.wav', 'climax.wav'])
  expect(serial).toBe('A')
})

test('files of two units do not name the unit', () => {
  expect(matchRecordings(['A-max.wav', 'B-min.wav'], settings).serial).toBeUndefined()
})
