import { describe, expect, it } from 'vitest'
import { benchStage } from './bench-stage.ts'
import type { TmuxTerminal } from './tmux-terminal.ts'

// The built bench in a real terminal (tmux): a board fails on the simulated rig, and the suspects come from the real
// diagnosis in its own thread.
const stage = benchStage()
const open = (size: { columns: number; rows: number }, more: string, env: Record<string, string> = {}) =>
  stage.open(size, { more, env })
const unit = (serial: string) => stage.json('unit', 'show', serial)

/** Tests the waiting unit and asks for its suspects. */
async function suspects(bench: TmuxTerminal): Promise<string> {
  await bench.until(/next to test/)
  bench.keys('Space')
  // Where the fault already shows in the contact check, the maker asks for the sweep all the same.
  for (;;) {
    if (/✗ PLV-0008: failed/.test(await bench.until(/✗ PLV-0008: failed|No sweep yet[\s\S]*measure all the same/)))
      break
    const asked = bench.screen()
    bench.keys('m')
    while (bench.screen() === asked) await new Promise((resolve) => setTimeout(resolve, 50))
  }
  bench.keys('s')
  return bench.until(/Next check/)
}

const sgr = new RegExp(`${String.fromCharCode(27)}\\[([0-9;:]*)m`, 'g')

describe.each([
  { columns: 80, rows: 24 },
  { columns: 120, rows: 40 },
])('after a fail at $columns x $rows', (size) => {
  it.each([
    { fault: 'value:C7=3.3nF', name: /› C7 3\.3 nF +█/, part: 'C7', words: /expected 33 nF[\s\S]*found +3\.3 nF/ },
    { fault: 'value:C9=33nF', name: /› C9 33 nF +█/, part: 'C9', words: /expected 3\.3 nF[\s\S]*found +33 nF/ },
  ])('$fault: one key names $part and lights it on the board', async ({ fault, name, part, words }) => {
    const bench = open(size, `--fault ${fault}`)
    const seen = await suspects(bench)
    expect(seen).toMatch(name)
    expect(seen.replaceAll(/[│▶].*$/gm, '')).toMatch(words)
    expect(seen).toMatch(new RegExp(`[█•]${part}[█•]`))
    expect(seen).toMatch(/▼/)
    expect(seen).toMatch(/▶/)
    const lines = seen.trimEnd().split('\n')
    expect(lines.length).toBeLessThan(size.rows)
    bench.keys('t')
    await bench.until(/seen from below/)
    bench.keys('Escape')
    await bench.until(/✗ PLV-0008: failed/)
    bench.keys('q')
    await bench.until(/exit code 0/)
  })
})

it('colour is not needed: with NO_COLOR the suspect is inverse and filled', async () => {
  const bench = open({ columns: 80, rows: 24 }, '--fault value:C7=3.3nF', { NO_COLOR: '1' })
  await suspects(bench)
  const styles = [...bench.screen({ escapes: true }).matchAll(sgr)].flatMap(([, numbers]) => numbers.split(/[;:]/))
  expect(styles).toContain('7')
  expect(styles.filter((number) => /^(3[0-8]|4[0-8]|9[0-7]|10[0-7])$/.test(number))).toEqual([])
})

it('a rework makes the unit untested; a board that still fails is told so, with its parts', async () => {
  const bench = open({ columns: 80, rows: 24 }, '--fault value:C7=3.3nF')
  await suspects(bench)
  bench.keys('r')
  await bench.until(/‹ C7 ›/)
  bench.keys('Down', 'Down')
  await bench.until(/› Put in/)
  bench.text('33 nF film')
  bench.keys('Enter', 'Enter', 'Enter', 'Enter')
  await bench.until(/› Record it/)
  bench.keys('Enter')
  await bench.until(/C7 is on record; PLV-0008 is untested/)
  expect((await unit('PLV-0008')).unit.state).toBe('untested')
  bench.keys('Enter')
  await bench.until(/PLV-0008[\s\S]*Enter tests it/)
  bench.keys('Enter')
  // The simulated rig keeps its fault, as a board does that was mended at the wrong place.
  await bench.until(/» It still fails: C7 was not it, or not that alone/)
})

it('a supply current is typed and a part is told to be sound; the suspects are worked out again each time', async () => {
  const bench = open({ columns: 80, rows: 24 }, '--fault open:C9')
  // Wiper lead and capacitor stand in series: no curve at the output can tell them apart.
  expect(await suspects(bench)).toMatch(/P2 or C9|C9 or P2/)
  bench.keys('c')
  await bench.until(/What did a check show/)
  bench.keys('Down', 'Down', 'Down', 'Down')
  await bench.until(/Supply current/)
  bench.text('0,5')
  bench.keys('Enter')
  await bench.until(/Told so far: supply 500 µA/)
  bench.keys('c')
  await bench.until(/What did a check show/)
  for (let step = 0; step < 4 && !/P2 was found/.test(bench.screen()); step++) {
    bench.keys('Down')
    await bench.until(/was found|Enter runs it/)
  }
  await bench.until(/P2 was found +› as drawn/)
  bench.keys('Enter')
  const seen = await bench.until(/Told so far: supply 500 µA, P2 sound/)
  expect(seen).toMatch(/› C9 open/)
}, 120_000)
