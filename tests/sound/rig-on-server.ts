import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { setTimeout as delay } from 'node:timers/promises'
import { makeSweep, RigSettings } from '@boardwright/core'
import { makeSoundInterface } from '@boardwright/core/audio'
import type { SoundServer } from './sound-server.mjs'

/** A short sweep: what is tested here is the way of the samples, not the resolution. */
export const sweepAt = (rateHz: number, levelDbfs = -12) =>
  makeSweep({
    rateHz,
    durationS: 1,
    fromHz: 20,
    toHz: 20_000,
    levelDbfs,
    repeats: 1,
    silenceBeforeS: 0.3,
    silenceAfterS: 0.7,
    markers: true,
  })
export const sweep = sweepAt(48_000)

type Changes = Partial<Omit<RigSettings, 'output' | 'input'>> & {
  output?: Partial<RigSettings['output']>
  input?: Partial<RigSettings['input']>
}

function settingsOf({ output, input, ...changes }: Changes = {}): RigSettings {
  return RigSettings.parse({
    version: 1,
    changedAt: '2026-03-02T08:00:00Z',
    family: 'pulseaudio',
    output: { device: 'rig', ...output },
    input: { device: 'rig_in', ...input },
    ...changes,
  })
}

export const rigOn = (server: SoundServer, changes: Changes = {}) =>
  makeSoundInterface({ settings: settingsOf(changes), environment: server.environment })

export const request = { serial: 'PLV-0001', setting: 'max', sweep }

/** Players and recorders that a process has started and that are still there, zombies included; this one unless told. */
export function children(parentPid = process.pid): { pid: number; words: string }[] {
  return readdirSync('/proc')
    .filter((name) => /^\d+$/.test(name))
    .flatMap((pid) => {
      try {
        const stat = readFileSync(`/proc/${pid}/stat`, 'utf8')
        const [, parent] = stat.slice(stat.lastIndexOf(')') + 2).split(' ')
        if (Number(parent) !== parentPid || !/\(pacat|\(parec/.test(stat)) return []
        return [{ pid: Number(pid), words: readFileSync(`/proc/${pid}/cmdline`, 'utf8').replaceAll('\0', ' ') }]
      } catch (error) {
        // It ended while it was being read.
        if (existsSync(`/proc/${pid}`)) throw error
        return []
      }
    })
}

/** Waits until the player plays for this long, and gives its process. */
export async function playing(forMs: number): Promise<{ pid: number }> {
  for (let tries = 0; tries < 500; tries++) {
    const player = children().find(({ words }) => words.includes('--playback'))
    if (player) {
      await delay(forMs)
      return player
    }
    await delay(10)
  }
  throw new Error('no player was started')
}
