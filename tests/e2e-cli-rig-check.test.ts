import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeSweep, parseProduct } from '@boardwright/core'
import { makeSimulatedRig, type RigDrift, writeWaveFile } from '@boardwright/core/audio'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import plover from '../shared/products/plover.json' with { type: 'json' }
import { runCommand } from './command-run.ts'

// Real processes over the built output, a real workshop file: the rig is proven, drifts, and is proven again; its own
// uncertainty is found by a gauge study.
const folder = mkdtempSync(join(tmpdir(), 'boardwright-rig-check-'))
const run = (...args: string[]) =>
  runCommand(args, { cwd: folder, env: { BOARDWRIGHT_FILE: join(folder, 'shop.boardwright') } })
const json = async (...args: string[]) => {
  const finished = await run(...args, '--json')
  return { ...finished, data: JSON.parse(finished.stdout) }
}

/** WAV files of a board, as a maker's own recorder would leave them. */
async function recordFiles(serial: string, drift: RigDrift = {}): Promise<string[]> {
  const product = parseProduct(JSON.stringify(plover))
  const sweep = makeSweep(product.testPlan.stimulus)
  const rig = makeSimulatedRig({
    ...{ product, seed: 2026, speed: Number.POSITIVE_INFINITY, clip: false, boardNoise: false },
    drift,
  })
  const files: string[] = []
  for (const setting of product.testPlan.settings) {
    const { audio } = await rig.run({ serial, setting, sweep })
    const path = join(folder, `${serial}-${setting}.wav`)
    writeWaveFile(path, { rateHz: audio.rateHz, channels: audio.channels, format: 'pcm24' })
    files.push('--setting', `${setting}=${path}`)
  }
  return files
}

const simulated = ['--rig', 'simulated'] as const

beforeAll(async () => {
  expect(await run('demo')).toMatchObject({ code: 0 })
}, 300_000)
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('rig-check', { timeout: 300_000 }, () => {
  it('a good rig: one sentence, exit code 0; show draws its drift', async () => {
    const { code, stdout } = await run('rig-check', 'run', ...simulated)
    expect(code).toBe(0)
    expect(stdout).toMatch(/^✓ GOOD {2}The rig is as it was: level within 0\.\d\d dB, curves within 0\.\d\d dB/)
    const shown = await run('rig-check', 'show', ...simulated)
    expect(shown.stdout).toMatch(/^✓ The rig was good at its check of /)
    expect(shown.stdout).toMatch(/Level at 1 kHz against the reference:\ndB \+0\.2 ┤[\u2800-\u28ff]/)
    for (const line of shown.stdout.split('\n')) expect(line.length).toBeLessThanOrEqual(120)
  })

  it('a rig that has drifted: exit code 1, the units since the last good check, and nothing is tested', async () => {
    expect((await run('test', '--next', ...simulated)).code).toBe(0)
    const { code, stdout } = await run('rig-check', 'run', ...simulated, '--drift', '0.5')
    expect(code).toBe(1)
    expect(stdout).toMatch(
      /^✗ DRIFTED {2}At maximum the level is 0\.\d\d dB higher than the reference's \(limit 0\.20 dB\)/,
    )
    expect(stdout).toMatch(/PLV-0008 +ready +pass .* take it back, then test it again/)
    const refused = await json('test', '--unit', 'PLV-0008', ...simulated)
    expect(refused.code).toBe(2)
    expect(refused.data).toMatchObject({ error: { code: 'rig-drifted' } })
    // It is said before anything is played.
    expect(refused.stderr).not.toMatch(/sweep/)
    const { data } = await json('rig-check', 'show', ...simulated)
    expect(data).toMatchObject({ status: { state: 'drifted' }, retest: [{ serial: 'PLV-0008', action: 'take-back' }] })
  })

  it('a unit goes back to untested only when told, and leaves the list when it was tested on a good rig', async () => {
    const { code, stdout } = await run('rig-check', 'take-back', '--unit', 'plv-0008')
    expect({ code, stdout }).toEqual({ code: 0, stdout: 'Untested again: PLV-0008.\n' })
    expect((await run('rig-check', 'run', ...simulated)).code).toBe(0)
    expect((await run('test', '--unit', 'PLV-0008', ...simulated)).code).toBe(0)
    expect((await json('rig-check', 'show', ...simulated)).data.retest).toEqual([])
    const list = await run('rig-check', 'list')
    expect(list.stdout.split('\n')[1]).toMatch(/simulated +✗ DRIFTED +level \+0\.\d\d dB/)
    const number = list.stdout.split('\n')[1].split(' ')[0]
    expect((await run('rig-check', 'show', number)).stdout).toMatch(/min: level \+0\.\d\d dB, curve [+−]?0\.\d\d dB at/)
  })

  it('recordings from files are a rig of their own: they are checked and stopped apart', async () => {
    expect((await run('rig-check', 'show', '--rig', 'folder')).stdout).toMatch(/^◆ The rig was never checked/)
    const drifted = await run('rig-check', 'run', ...(await recordFiles('REFERENCE', { trebleDb: -1 })))
    expect(drifted.code).toBe(1)
    expect(drifted.stdout).toMatch(/the curve is off by −0\.\d\d dB at [\d.]+ kHz \(limit 0\.30 dB\)/)
    const unit = ['test', '--unit', 'PLV-0001', ...(await recordFiles('PLV-0001'))]
    expect(await run(...unit)).toMatchObject({ code: 2, stderr: expect.stringContaining('[rig-drifted]') })
    expect((await run('test', '--unit', 'PLV-0008', ...simulated)).code).toBe(0)
    expect((await run('rig-check', 'run', ...(await recordFiles('REFERENCE')))).code).toBe(0)
    expect((await run(...unit)).code).toBe(0)
  })
})

describe('gauge', { timeout: 300_000 }, () => {
  it('is begun, left, gone on with, and tells its result; the judge counts with it once it is taken over', async () => {
    const boards = ['PLV-0001', 'PLV-0004', 'PLV-0006'].flatMap((serial) => ['--unit', serial])
    const size = ['--repeats', '2', '--set-ups', '2', '--seed', '7', ...simulated]
    const begun = await run('gauge', 'start', ...boards, ...size)
    expect(begun.stdout).toMatch(/3 boards x 2 repeats x 2 set-ups, 12 readings, seed 7\.\nFirst: put PLV-000\d in/)
    const part = await run('gauge', 'run', ...simulated, '--boards-in', '--readings', '2')
    expect(part.stdout).toMatch(/under way: 2 of 12 readings.*\nNext: put PLV-000\d in \(set-up 1 of 2\)/)
    const early = await json('gauge', 'accept', '1')
    expect(early).toMatchObject({ code: 2, data: { error: { code: 'gauge-study-open' } } })
    const rest = await json('gauge', 'run', ...simulated, '--boards-in')
    expect(rest.data).toMatchObject({ study: { state: 'complete', readings: 12 }, next: null })
    const shown = await run('gauge', 'show')
    expect(shown.stdout).toMatch(/The rig tells these boards apart in \d+ class/)
    expect(shown.stdout).toMatch(/dB from one set-up to the next, .* from one sweep to the next\./)
    expect(shown.stdout).toMatch(/^max level .*\d %/m)
    const accepted = await json('gauge', 'accept', '1')
    expect(accepted.data).toEqual({
      version: 1,
      studyId: 1,
      rigUncertaintyDb: rest.data.result.effect.rigUncertaintyDb,
      source: expect.stringMatching(/^gauge study 1 of \d{4}-\d\d-\d\d, 12 readings$/),
    })
    expect((await run('test', '--unit', 'PLV-0006', ...simulated)).code).toBe(0)
    expect((await run('check')).code).toBe(0)
    expect((await run('gauge', 'accept', '--test-plan', ...simulated)).stdout).toMatch(/0\.030 dB \(test plan\)/)
  })

  it.each([
    [['rig-check', 'run'], /--rig/],
    [['rig-check', 'run', '--rig', 'folder'], /--folder/],
    [['rig-check', 'run', '--rig', 'folder', '--folder', '.', '--drift', '1'], /--drift.* belong to --rig simulated/],
    [['rig-check', 'show', '99'], /no rig check 99/],
    [['rig-check', 'show', 'x'], /plain number/],
    [['rig-check', 'take-back'], /--unit.*--all/],
    [['rig-check', 'take-back', '--unit', 'PLV-0001'], /not on the list/],
    [['gauge', 'start', '--unit', 'PLV-0001', ...simulated], /from 2 to 50; it is 1/],
    [['gauge', 'start', ...simulated], /--unit/],
    [['gauge', 'run', ...simulated], /No gauge study is under way/],
    [['gauge', 'accept'], /--test-plan/],
    [['gauge', 'abandon', '1'], /complete/],
    [['gauge', 'show', '9'], /no gauge study 9/],
  ])('%j is refused in words', async (args, words) => {
    const { code, stdout, stderr } = await run(...args)
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(words)
  })
})
