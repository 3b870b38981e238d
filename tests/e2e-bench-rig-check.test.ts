import { expect, it } from 'vitest'
import { benchStage } from './bench-stage.ts'
import type { TmuxTerminal } from './tmux-terminal.ts'

// The built bench in a real terminal (tmux) at 80 x 24: the rig is checked, drifts, stops work, and is studied.
const stage = benchStage()
const open = (more = '') => stage.open({ columns: 80, rows: 24 }, { more })
const { json } = stage

/** Presses a key until it shows: a screen that was just drawn may not listen yet on a busy machine. */
async function press(bench: TmuxTerminal, key: string, sight: RegExp): Promise<string> {
  for (let tries = 1; ; tries++) {
    bench.keys(key)
    try {
      return await bench.until(sight, 10_000)
    } catch (error) {
      if (tries === 6) throw error
    }
  }
}

const fits = (screen: string) => {
  const lines = screen.trimEnd().split('\n')
  expect(lines.length).toBeLessThan(24)
  for (const line of lines) expect(line).not.toMatch(/…$/)
}

it('a check that is due is a reminder: one key measures the reference board, the chart shows it', {
  timeout: 300_000,
}, async () => {
  const bench = open()
  const ready = await bench.until(/next to test/)
  expect(ready).toMatch(/◆ Rig check due: the rig has rested for \d+ hours\. +c +rig check/)
  fits(ready)
  bench.keys('c')
  expect(await bench.until(/Enter {2}check the rig/)).toMatch(/Rig check +Plover/)
  await press(bench, 'Enter', /REFERENCE|✓ GOOD/)
  const checked = await bench.until(/✓ GOOD The rig is as it was/)
  expect(checked).toMatch(/dB \+0\.2 ┤[\u2800-\u28ff]/)
  fits(checked)
  bench.keys('Escape')
  expect(await bench.until(/next to test/)).not.toMatch(/Rig check due/)
  bench.keys('q')
  await bench.until(/exit code 0/)
  const { status } = await json('rig-check', 'show', '--rig', 'simulated')
  expect(status).toMatchObject({ state: 'good', unitsSince: 0 })
})

it('a rig that has drifted stops work with one sentence; the units in doubt are taken back with one key', {
  timeout: 300_000,
}, async () => {
  const bench = open('--drift 0.5')
  await bench.until(/next to test/)
  bench.keys('c')
  await bench.until(/Enter {2}check the rig/)
  await press(bench, 'Enter', /REFERENCE|✗ DRIFTED/)
  const drifted = await bench.until(/✗ DRIFTED/)
  expect(drifted).toMatch(/To be tested again: 1\n/)
  expect(drifted).toMatch(/PLV-0007 +ready +pass .*take it back/)
  fits(drifted)
  bench.keys('t')
  await bench.until(/PLV-0007 +untested +pass .*test it again/)
  bench.keys('Escape')
  await bench.until(/✗ The rig has drifted: nothing is tested until it is good again\./)
  bench.keys('Enter')
  const refused = await bench.until(/no verdict/)
  expect(refused.replaceAll(/\s+/g, ' ')).toMatch(
    /The simulated rig has drifted: at maximum the level is 0\.\d\d dB higher/,
  )
  bench.keys('Escape')
  await bench.until(/The rig has drifted/)
  bench.keys('q')
  await bench.until(/exit code 0/)
  expect((await json('unit', 'show', 'PLV-0008')).runs).toEqual([])
})

it('a gauge study: says which board to put in, measures its repeats by itself, is left and gone on with', async () => {
  const bench = open()
  await bench.until(/next to test/)
  bench.keys('c')
  await bench.until(/Enter {2}check the rig/)
  const choice = await press(bench, 'g', /5 boards x 3 set-ups x 3 sweeps = 45 readings/)
  fits(choice)
  for (const key of ['Left', 'Left', 'Left', 'Down']) bench.keys(key)
  await bench.until(/2 boards x 2 set-ups x 3 sweeps = 12 readings/)
  fits(await press(bench, 'Enter', /0 of 12 readings[\s\S]*Put PLV-000\d in \(set-up 1 of 2\)/))
  bench.keys('Enter')
  await bench.until(/3 of 12 readings/)
  bench.keys('q')
  await bench.until(/exit code 0/)
  const [begun] = (await json('gauge', 'list')).studies
  expect(begun).toMatchObject({ state: 'running', readings: 3, wanted: 12 })

  const again = open()
  await again.until(/next to test/)
  again.keys('c')
  await again.until(/Enter {2}check the rig/)
  await press(again, 'g', /3 of 12 readings/)
  for (const readings of [3, 6, 9]) {
    await again.until(new RegExp(`${readings} of 12 readings`))
    again.keys('Enter')
  }
  const result = await again.until(/The rig tells these boards apart in/)
  expect(result).toMatch(/from one set-up to the next/)
  expect(result).toMatch(/max level +\d\.\d\d\d/)
  fits(result)
  again.keys('a')
  await again.until(/the judge counts with it/)
  again.keys('q')
  await again.until(/exit code 0/)
}, 300_000)
