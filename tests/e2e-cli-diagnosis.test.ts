import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeSweep, parseProduct, writeWave } from '@boardwright/core'
import { makeSimulatedRig } from '@boardwright/core/audio'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import plover from '../shared/products/plover.json' with { type: 'json' }
import { runCommand } from './command-run.ts'

// Real processes over the built output, a real workshop file: a board fails, is diagnosed, mended and passes.
const folder = mkdtempSync(join(tmpdir(), 'boardwright-diagnosis-'))
const at = (name: string) => join(folder, name)
const run = (...args: string[]) => runCommand(args, { cwd: folder, env: { BOARDWRIGHT_FILE: at('shop.boardwright') } })
const json = async (...args: string[]) => {
  const finished = await run(...args, '--json')
  return { ...finished, data: JSON.parse(finished.stdout) }
}
/** The capacitor of the demo's PLV-0005, and the right one put in. */
const failed = 'PLV-0005'
const mended = ['--rig', 'simulated', '--fault', 'value:C7=33nF']

/** A recording of the failed board at a setting that its run has not, as a WAV file. */
async function recordFurther(setting: string): Promise<string> {
  const product = parseProduct(JSON.stringify(plover))
  const sweep = makeSweep(product.testPlan.stimulus)
  const rig = makeSimulatedRig({
    ...{ product, seed: 2026, speed: Number.POSITIVE_INFINITY, clip: false, boardNoise: false },
    faultsOf: () => [{ kind: 'value', designator: 'C7', value: '3.3 nF' }],
  })
  const { audio } = await rig.run({ serial: failed, setting, sweep })
  const { rateHz, channels } = audio
  writeFileSync(at(`${setting}.wav`), writeWave({ rateHz, channels, format: 'pcm24' }))
  return `${setting}.wav`
}

beforeAll(async () => {
  expect(await run('demo')).toMatchObject({ code: 0 })
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('diagnose', () => {
  it('names the wrong capacitor first, expected against found, and where it sits', async () => {
    const { code, stdout, stderr } = await run('diagnose', '--unit', failed)
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    expect(stdout).toMatch(/^ 1\. +(?:> )?\d+ % {2}C7 is probably 3\.3 nF instead of 33 nF/m)
    expect(stdout).toMatch(/expected 33 nF, found 3\.3 nF; C7 at [\d.]+, [\d.]+ mm/)
    expect(stdout).toMatch(/none of these/)
  })

  it('takes current, voltages, a further sweep, a probe and parts measured by themselves; --json gives all of it', async () => {
    const bassOnly = await recordFurther('bass-only')
    const { code, data } = await json(
      ...['diagnose', '--unit', failed, '--supply-current', '0.55mA', '--volts', 'half=4.4V', '--volts', 'gain=4.4'],
      ...['--setting', `bass-only=${bassOnly}`, '--part-ok', 'c8'],
    )
    expect(code).toBe(0)
    expect(data.evidence).toMatchObject({
      nodeVoltagesV: { half: 4.4, gain: 4.4 },
      soundParts: ['C8'],
      faultyParts: [],
    })
    expect(data.evidence.supplyCurrentA).toBeCloseTo(0.00055, 12)
    expect(data.evidence.sweeps.map((one: { node: string | null }) => one.node)).toEqual([null])
    const [first] = data.diagnosis.suspects
    expect(first).toMatchObject({ designators: expect.arrayContaining(['C7']), rig: false })
    expect(first.probability).toBeGreaterThan(0.5)
    expect(first.places[0]).toMatchObject({ designator: expect.any(String), xMm: expect.any(Number) })
    // What was told once still counts, and is said.
    const again = await run('diagnose', '--unit', failed, '--probe', `out@bass-only=${bassOnly}`)
    expect(again.stdout).toMatch(/Also known: supply current 550 µA; .*half.*sweep at bass-only.*C8 is as drawn/)
    expect(again.stdout).toMatch(/probe on out/)
  })

  it.each([
    [['diagnose'], /--unit/],
    [['diagnose', '--unit', 'PLV-0008'], /PLV-0008 was not tested yet.*not-diagnosable/],
    [['diagnose', '--unit', 'PLV-9999'], /no unit PLV-9999/],
    [['diagnose', '--run', 'R-0'], /no test run R-0/],
    [['diagnose', '--unit', failed, '--volts', 'half'], /equals sign/],
    [['diagnose', '--unit', failed, '--volts', 'half=4.5 kg'], /bad-quantity/],
    [['diagnose', '--unit', failed, '--volts', 'nowhere=4.5V'], /no node "nowhere"/],
    [['diagnose', '--unit', failed, '--part-bad', 'C99'], /no part "C99"/],
    [['diagnose', '--unit', failed, '--setting', 'loud=bass-only.wav'], /loud/],
    [['diagnose', '--unit', failed, '--figures'], /--figures/],
    [['unit', 'rework', failed, '--part', 'C7'], /--action/],
    [['unit', 'rework', failed, '--part', 'C7', '--action', 'sung-to'], /sung-to/],
    [['unit', 'rework', failed, '--part', 'C99', '--action', 'replaced'], /no part "C99"/],
    [['product', 'band'], /--from tolerance/],
    [['product', 'band', '--from', 'units', '--at', '20=+1/-1'], /--from tolerance, --from units, or/],
    [['product', 'band', '--at', '20=1'], /both limits/],
    [['product', 'band', '--at', '20=-1/+1'], /above zero/],
    [['product', 'band', '--from', 'tolerance', '--save', 'A'], /revision A is there already.*revision-frozen/],
  ])('%j: one sentence, exit code 2', async (args, sentence) => {
    const { code, stdout, stderr } = await run(...args)
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' })
    expect(stderr).toMatch(sentence)
    expect(stderr.trim().split('\n')).toHaveLength(2)
  })

  it.each([[['diagnose']], [['unit', 'rework']], [['product', 'band']]])('%j --help fits 80 columns', async (words) => {
    const { code, stdout } = await run(...words, '--help')
    expect(code).toBe(0)
    expect(stdout).toContain('Examples:')
    for (const line of stdout.split('\n')) expect([...line].length).toBeLessThanOrEqual(80)
  })
})

describe('rework', () => {
  it('goes back to untested, and the next test confirms the suspicion', async () => {
    expect((await json('diagnose', '--figures')).data).toMatchObject({ first: { cases: 0, rate: null }, waiting: 0 })
    const words = [
      '--part',
      'C7',
      '--action',
      'replaced',
      '--fitted',
      '33 nF film',
      '--lot',
      'green bag',
      '--note',
      'was 3.3',
    ]
    const begun = await json('unit', 'rework', failed, ...words, '--unfinished')
    expect(begun.data).toMatchObject({ unit: { state: 'rework' }, rework: { designator: 'C7', part: '33 nF film' } })
    const early = await run('test', '--unit', failed, ...mended)
    expect({ code: early.code, stderr: early.stderr }).toEqual({ code: 2, stderr: expect.stringMatching(/is rework/) })
    const done = await run('unit', 'rework', failed, '--part', 'C8', '--action', 'resoldered')
    expect(done).toMatchObject({ code: 0, stdout: expect.stringMatching(/C8 resoldered. It is now untested/) })
    expect((await json('diagnose', '--figures')).data).toMatchObject({ waiting: 1 })
    const tested = await json('test', '--unit', failed, ...mended)
    expect({ code: tested.code, verdict: tested.data.verdict }).toEqual({ code: 0, verdict: 'pass' })
    expect(tested.data.judgement.shape).toMatchObject({ verdict: 'pass' })
    const figures = await run('diagnose', '--figures')
    expect(figures.stdout).toMatch(/First suspect right: 100 % \(1 of 1; with 95 % confidence 2\.5 % to 100 %\)/)
    const shown = await run('unit', 'show', failed)
    expect(shown.stdout).toMatch(/C8 resoldered .*\n.*C7 replaced .*33 nF film, lot green bag, was 3\.3/)
    expect(await run('check')).toMatchObject({ code: 0 })
  })

  it('of a unit on the shelf takes it off the shelf', async () => {
    expect(await run('unit', 'rework', 'PLV-0001', '--part', 'R5', '--action', 'resoldered')).toMatchObject({ code: 0 })
    expect((await json('unit', 'show', 'PLV-0001')).data.unit.state).toBe('untested')
  })
})

describe('a board of an impossible shape', () => {
  it('inside every band limit fails, with the reason in words', async () => {
    const odd = await json('test', '--unit', 'PLV-0100', '--rig', 'simulated', '--fault', 'value:C7=27nF')
    expect(odd.code).toBe(1)
    expect(odd.data.judgement.settings.map((one: { verdict: string }) => one.verdict)).toEqual(['pass', 'pass'])
    expect(odd.data.reasons).toEqual([
      { code: 'shape', verdict: 'fail', setting: expect.any(String), message: expect.stringMatching(/healthy board/) },
    ])
  })
})

describe('product band', () => {
  it('from tolerances is printed and not kept; with --save it is a new revision, and the old one stays', async () => {
    const printed = await json('product', 'band', '--from', 'tolerance', '--yield', '99', '--bend', '20,200,2000,20000')
    expect(printed).toMatchObject({ code: 0, data: { saved: null, basis: { kind: 'tolerance', yield: 0.99 } } })
    for (const { breakpoints } of printed.data.bands)
      expect(breakpoints.map((point: { frequencyHz: number }) => point.frequencyHz)).toEqual([20, 200, 2000, 20_000])
    expect(printed.data.healthyShare.bands).toBeGreaterThan(0.985)
    expect((await json('product', 'show')).data.revision).toBe('A')
    // What --json prints can be read again as bands by hand.
    writeFileSync(at('bands.json'), printed.stdout)
    const kept = await json('product', 'band', '--bands', 'bands.json', '--save', 'B')
    expect(kept.data).toMatchObject({ saved: 'B', bands: printed.data.bands })
    expect((await json('product', 'show')).data).toMatchObject({
      revision: 'B',
      testPlan: { bands: printed.data.bands },
    })
    expect((await json('product', 'show', '--revision', 'A')).data.testPlan.bands).toEqual(plover.testPlan.bands)
  })

  it('by hand, and from the last passed units', async () => {
    const hand = await run('product', 'band', '--at', '20=+3/-2.5', '--at', '20000=+2/-2')
    expect(hand.stdout).toMatch(/max +20 Hz +\+3\.00 dB \/ −2\.50 dB/)
    expect(hand.stdout).toMatch(/Not kept: --save/)
    const units = await json('product', 'band', '--from', 'units', '--last', '5')
    expect(units).toMatchObject({ code: 0, data: { basis: { kind: 'units', referenceVersion: 1 } } })
    expect(units.data.basis.serials).toHaveLength(5)
    writeFileSync(at('empty.json'), '[]')
    const empty = await run('product', 'band', '--bands', 'empty.json')
    expect({ code: empty.code, stderr: empty.stderr }).toEqual({
      code: 2,
      stderr: expect.stringMatching(/holds no tolerance bands/),
    })
  })
})
