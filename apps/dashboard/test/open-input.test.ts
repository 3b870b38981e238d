import { expect, test } from 'vitest'
import { troubleWithInput } from '../src/measure/sound/open-input.ts'

const label = 'Interface'
const good = {
  echoCancellation: false,
  noiseSuppression: false,
  autoGainControl: false,
  sampleRate: 48_000,
  channelCount: 2,
}

test('an input that gives the sound as it is, at the rate of the sweep, is taken', () => {
  expect(troubleWithInput({ settings: good, label, rateHz: 48_000 })).toBeNull()
  // What a browser does not tell is not refused.
  expect(troubleWithInput({ settings: {}, label, rateHz: 48_000 })).toBeNull()
})

test('another rate would be converted: refused, with both rates', () => {
  const trouble = troubleWithInput({ settings: { ...good, sampleRate: 44_100 }, label, rateHz: 48_000 })
  expect(trouble?.note).toMatchObject({
    code: 'device-rate',
    sentence: 'The input "Interface" runs at 44.1 kHz, the sweep of the test plan at 48 kHz.',
  })
})

test('sound that is worked on is refused, and says by what', () => {
  const settings = { ...good, echoCancellation: true, autoGainControl: true }
  expect(troubleWithInput({ settings, label, rateHz: 48_000 })?.note).toMatchObject({
    code: 'sound-processed',
    sentence:
      'The input "Interface" works on the sound: echo cancellation, automatic gain control cannot be switched off.',
  })
})
