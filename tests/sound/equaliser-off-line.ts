import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { readWave, writeWave } from '@boardwright/core'
import { ladspaFolder } from './sound-server.mjs'

const rateHz = 48_000

/**
 * The equaliser of the sound server run off line by sox, a tool that is not ours, on one sample of 0.5. Gives its gain (dB)
 * at any frequency, by the Fourier sum itself.
 * @param gains low, mid and high gain, dB
 */
export function equaliserOffLine(gains: readonly number[]): (frequencyHz: number) => number {
  const folder = mkdtempSync(join(tmpdir(), 'boardwright-equaliser-'))
  const [from, to] = [join(folder, 'impulse.wav'), join(folder, 'answer.wav')]
  const samples = new Float64Array(rateHz)
  samples[0] = 0.5
  writeFileSync(from, writeWave({ rateHz, channels: [samples], format: 'float32' }))
  const words = ['-D', from, '-efloating-point', '-b32', to, 'ladspa', 'dj_eq_1901', 'dj_eq_mono']
  // The last control is an output of the plug-in (its latency), for which sox wants a number all the same.
  execFileSync('sox', [...words, ...gains.map(String), '0'], { env: { ...process.env, LADSPA_PATH: ladspaFolder } })
  const impulse = readWave(readFileSync(to)).channels[0].map((x) => x / 0.5)
  rmSync(folder, { recursive: true })
  return (frequencyHz) => {
    let re = 0
    let im = 0
    for (let i = 0; i < impulse.length; i++) {
      const phase = (2 * Math.PI * frequencyHz * i) / rateHz
      re += impulse[i] * Math.cos(phase)
      im -= impulse[i] * Math.sin(phase)
    }
    return 20 * Math.log10(Math.hypot(re, im))
  }
}
