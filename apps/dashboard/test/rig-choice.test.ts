import { RigSettings } from '@boardwright/core'
import { expect, test } from 'vitest'
import { loadRig, saveRig, usualRig } from '../src/measure/rig-choice/rig-choice.ts'

function memory(first?: string) {
  let kept: string | null = first ?? null
  return {
    getItem: () => kept,
    setItem: (_: string, value: string) => {
      kept = value
    },
  }
}

test('the choice of the last time comes back', () => {
  const storage = memory()
  const rig = { ...usualRig, output: { id: 'a1', label: 'Interface' }, loopBackChannel: 1, maxLevelDbfs: -30 }
  saveRig(storage, rig)
  expect(loadRig(storage)).toEqual(rig)
})

test.each([
  ['nothing kept', undefined],
  ['no JSON', '{'],
  ['of another kind', '[1]'],
  ['above full scale', JSON.stringify({ ...usualRig, maxLevelDbfs: 6 })],
])('%s: the usual choice, with the limit that a rig has', (_, kept) => {
  expect(loadRig(memory(kept))).toEqual(usualRig)
  const fresh = RigSettings.parse({
    version: 1,
    changedAt: '2026-03-02T08:00:00Z',
    output: { device: 'a' },
    input: { device: 'b' },
  })
  expect(usualRig.maxLevelDbfs).toBe(fresh.maxLevelDbfs)
})

test('a browser that keeps nothing is no trouble', () => {
  const refusing = {
    getItem: (): string => {
      throw new Error('SecurityError')
    },
    setItem: () => {
      throw new Error('QuotaExceededError')
    },
  }
  expect(() => saveRig(refusing, usualRig)).not.toThrow()
  expect(loadRig(refusing)).toEqual(usualRig)
})
