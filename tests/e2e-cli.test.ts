import { randomBytes } from 'node:crypto'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runCommand, startCommand } from './command-run.ts'
import { filter, gainDb, readFloatWave, recordingOf, toneBoard, writeFloatWave } from './tone-board.ts'

// Real processes over the built output, real files. The boards are digital filters of known response (tone-board.ts).
const folder = mkdtempSync(join(tmpdir(), 'boardwright-cli-'))
const at = (name: string) => join(folder, name)
const workshop = at('shop.boardwright')
const rateHz = 48_000
const healthy = { rateHz, bass: 3.2, treble: 4 }
const settings = ['max', 'min', 'centre'] as const

const run = (...args: string[]) => runCommand(args, { cwd: folder, env: { BOARDWRIGHT_FILE: workshop } })
const json = async (...args: string[]) => {
  const finished = await run(...args, '--json')
  return { ...finished, data: JSON.parse(finished.stdout) }
}

/** Records the sweep through a board at each setting: files NAME-max.wav and so on. */
function record(name: string, tone: typeof healthy & { levelDb?: number }, options: { seed?: number } = {}) {
  const sweep = readFloatWave(at('sweep.wav'))
  for (const [i, setting] of settings.entries()) {
    const answer = filter(toneBoard(tone, setting), sweep.samples)
    const samples = recordingOf(answer, { delaySamples: 1000 + 777 * i, seed: (options.seed ?? 1) * 10 + i })
    writeFloatWave(at(`${name}-${setting}.wav`), { rateHz, samples })
  }
}

const settingArgs = (name: string, which: readonly string[] = ['max', 'min']) =>
  which.flatMap((setting) => ['--setting', `${setting}=${name}-${setting}.wav`])

beforeAll(async () => {
  const made = await run('sweep', '--out', 'sweep.wav', '--format', 'float32', '--rate', '48000', '--level', '-26')
  expect(made).toMatchObject({ code: 0 })
  for (const seed of [1, 2]) record(`ref${seed}`, healthy, { seed })
  record('good', healthy, { seed: 7 })
  record('dull', { ...healthy, treble: 1.2 }, { seed: 8 })
  record('edge', { ...healthy, levelDb: 1.5 }, { seed: 9 })
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('sweep', () => {
  it('before there is a workshop it is the stimulus that a new workshop measures against', async () => {
    const alone = { cwd: folder, env: { BOARDWRIGHT_FILE: at('not-made-yet.boardwright') } }
    const { stdout } = await runCommand(['sweep', '--out', 'first.wav', '--json'], alone)
    const { settings: made } = JSON.parse(stdout)
    const plan = JSON.parse(readFileSync(new URL('../shared/products/plover.json', import.meta.url), 'utf8')).testPlan
    expect(made).toEqual(plan.stimulus)
    expect(existsSync(at('not-made-yet.boardwright'))).toBe(false)
  })

  it.each([
    ['pcm16', 1, 16],
    ['pcm24', 1, 24],
    ['pcm32', 1, 32],
    ['float32', 3, 32],
  ])('%s is a WAV file of that format and rate', async (format, tag, bits) => {
    const name = `${format}.wav`
    const { code, stderr } = await run('sweep', '--out', name, '--format', format, '--rate', '44100', '--seconds', '1')
    expect(code).toBe(0)
    expect(stderr).toMatch(/loud/)
    const bytes = readFileSync(at(name))
    expect(bytes.toString('latin1', 0, 4) + bytes.toString('latin1', 8, 16)).toBe('RIFFWAVEfmt ')
    const extensible = bytes.readUInt16LE(20) === 0xfffe
    expect(bytes.readUInt16LE(extensible ? 44 : 20)).toBe(tag)
    expect([bytes.readUInt16LE(22), bytes.readUInt32LE(24), bytes.readUInt16LE(34)]).toEqual([1, 44_100, bits])
  })
})

describe('measure', () => {
  it('gives the response of a known filter as JSON', async () => {
    const { code, data, stderr } = await json('measure', '--sweep', 'sweep.wav', '--recording', 'good-max.wav')
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
    expect(data).toMatchObject({ usable: true, noise: expect.any(Object), findings: expect.any(Array) })
    const { frequencyHz, gainDb: measured, phaseDeg, uncertaintyDb } = data.curve
    expect(frequencyHz[0]).toBeCloseTo(20, 0)
    expect(frequencyHz.at(-1)).toBeGreaterThan(19_500)
    for (const list of [measured, phaseDeg, uncertaintyDb]) expect(list).toHaveLength(frequencyHz.length)
    const board = toneBoard(healthy, 'max')
    // 0.02 dB: noise of -100 dBFS under a sweep of -26 dBFS leaves less than that at the weakest point.
    for (const [i, f] of frequencyHz.entries())
      expect(Math.abs(measured[i] - gainDb(board, { frequencyHz: f, rateHz })), `${f} Hz`).toBeLessThan(0.02)
    expect(Math.abs(data.gainAt1kHzDb - gainDb(board, { frequencyHz: 1000, rateHz }))).toBeLessThan(0.02)
    expect(Object.keys(data.distortion.orders)).toEqual(['2', '3', '4', '5'])
    expect(data.distortion.thdPercent).toHaveLength(data.distortion.frequencyHz.length)
  })

  it('takes the rig out with a recording through a wire', async () => {
    const { data } = await json(
      'measure',
      '--sweep',
      'sweep.wav',
      '--recording',
      'good-max.wav',
      '--through',
      'good-max.wav',
    )
    for (const gain of data.curve.gainDb) expect(Math.abs(gain)).toBeLessThan(0.001)
  })

  it('writes CSV of RFC 4180 to a file or to standard output', async () => {
    const args = ['measure', '--sweep', 'sweep.wav', '--recording', 'good-max.wav', '--csv']
    const { code, stdout } = await run(...args)
    expect(code).toBe(0)
    const records = stdout.split('\r\n')
    expect(records[0]).toBe('frequencyHz,gainDb,phaseDeg,uncertaintyDb')
    expect(records.at(-1)).toBe('')
    expect(stdout.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/)
    for (const record of records.slice(1, -1)) expect(record.split(',').map(Number).every(Number.isFinite)).toBe(true)
    await run(...args, 'curve.csv')
    expect(readFileSync(at('curve.csv'), 'utf8')).toBe(stdout)
    expect((await run(...args, '-')).stdout).toBe(stdout)
    expect(existsSync(at('-'))).toBe(false)
  })

  it('without flags prints a summary and a plot for a person', async () => {
    const { code, stdout } = await run('measure', '--sweep', 'sweep.wav', '--recording', 'good-max.wav')
    expect(code).toBe(0)
    expect(stdout).toMatch(/usable/)
    expect(stdout).toMatch(/Gain at 1 kHz/)
    expect(stdout).toMatch(/[⠁-⣿]{5}/)
    for (const line of stdout.split('\n')) expect([...line].length).toBeLessThanOrEqual(100)
  })

  it('refuses a silent recording: exit code 3, JSON still printed', async () => {
    writeFloatWave(at('silent.wav'), { rateHz, samples: new Float64Array(rateHz * 8) })
    const { code, data } = await json('measure', '--sweep', 'sweep.wav', '--recording', 'silent.wav')
    expect(code).toBe(3)
    expect(data).toMatchObject({ usable: false, curve: null })
    const finding = data.findings.find((one: { code: string }) => one.code === 'silent')
    expect(finding).toMatchObject({ message: expect.any(String), remedy: expect.any(String) })
  })

  it('refuses a recording of another rate: exit code 3', async () => {
    writeFloatWave(at('rate.wav'), { rateHz: 44_100, samples: readFloatWave(at('good-max.wav')).samples })
    const { code, data } = await json('measure', '--sweep', 'sweep.wav', '--recording', 'rate.wav')
    expect(code).toBe(3)
    expect(data.findings.map((one: { code: string }) => one.code)).toContain('wrong-rate')
  })

  it('says that a file is missing or no WAV file: exit code 2, the error as JSON too', async () => {
    for (let i = 0; i < 5; i++) writeFileSync(at(`random${i}.wav`), randomBytes(1 + i * 997))
    writeFileSync(at('cut.wav'), readFileSync(at('good-max.wav')).subarray(0, 30))
    const wanted: [string, string][] = [
      ['missing.wav', 'file-not-readable'],
      ['cut.wav', 'not-a-wave-file'],
      ...Array.from({ length: 5 }, (_, i): [string, string] => [`random${i}.wav`, 'not-a-wave-file']),
    ]
    for (const [name, code] of wanted) {
      const finished = await json('measure', '--sweep', 'sweep.wav', '--recording', name)
      expect(finished.code, name).toBe(2)
      expect(finished.data.error, name).toMatchObject({ code, remedy: expect.any(String) })
      expect(finished.stderr).toContain(name)
    }
  })
})

describe('reference and test', () => {
  it('without a reference says what to do first', async () => {
    const product = await run('product', 'list')
    expect(product.code).toBe(2)
    const { code, stderr } = await run('test', '--unit', 'PLV-0001', ...settingArgs('good'))
    expect(code).toBe(2)
    expect(stderr).toMatch(/reference/)
  })

  it('makes the reference, several recordings of a setting being several runs', async () => {
    const args = ['reference', 'add', '--sweep', 'sweep.wav', '--note', 'first']
    for (const name of ['ref1', 'ref2']) args.push(...settingArgs(name, settings))
    const { code, data, stderr } = await json(...args)
    expect({ code }, stderr).toEqual({ code: 0 })
    expect(stderr).toMatch(/Made a new workshop/)
    expect(data).toMatchObject({ version: 1, note: 'first' })
    expect(data.settings.map((one: { runs: number }) => one.runs)).toEqual([2, 2, 2])
    expect((await json('reference', 'list')).data.references).toHaveLength(1)
    expect((await json('reference', 'show', '1')).data.settings[0].curve.gainDb.length).toBeGreaterThan(200)
    expect((await run('reference', 'show', '9')).code).toBe(2)
  })

  it('passes a board like the reference: exit code 0', async () => {
    const { code, data } = await json(
      'test',
      '--unit',
      'plv-0001',
      '--sweep',
      'sweep.wav',
      ...settingArgs('good', settings),
    )
    expect({ code, verdict: data.verdict }, JSON.stringify(data.reasons)).toEqual({ code: 0, verdict: 'pass' })
    expect(data).toMatchObject({ serial: 'PLV-0001', state: 'ready', newUnit: true, referenceVersion: 1 })
  })

  it('one recording at each extreme is enough of a reference, and a second workshop is independent', async () => {
    const other = ['--file', at('other.boardwright'), '--sweep', 'sweep.wav']
    expect(await runCommand(['reference', 'add', ...other, ...settingArgs('ref1')], { cwd: folder })).toMatchObject({
      code: 0,
    })
    const judged = (name: string) =>
      runCommand(['test', '--unit', 'X-1', ...other, ...settingArgs(name)], { cwd: folder })
    expect(await judged('good')).toMatchObject({ code: 0 })
    expect(await judged('dull')).toMatchObject({ code: 1 })
  })

  it('fails a board with too little treble, with frequencies and numbers in words: exit code 1', async () => {
    const { code, stdout } = await run('test', '--unit', 'PLV-0002', '--sweep', 'sweep.wav', ...settingArgs('dull'))
    expect(code).toBe(1)
    expect(stdout).toMatch(/FAIL\s+PLV-0002/)
    expect(stdout).toMatch(/treble is .* dB too low from .* kHz .*limit/)
  })

  it('is not sure of a board on the limit, or of a bad recording: exit code 3', async () => {
    const silent = ['--setting', 'max=silent.wav', '--setting', 'min=good-min.wav']
    const { code, data } = await json('test', '--unit', 'PLV-0003', '--sweep', 'sweep.wav', ...silent)
    expect({ code, verdict: data.verdict }).toEqual({ code: 3, verdict: 'repeat' })
    expect(data.findings.map((one: { code: string }) => one.code)).toContain('silent')
  })

  it('stores every run under its serial number', async () => {
    const { data } = await json('unit', 'list')
    const states = data.units.map((unit: { serial: string; state: string }) => [unit.serial, unit.state])
    expect(states.toSorted()).toEqual([
      ['PLV-0001', 'ready'],
      ['PLV-0002', 'failed'],
      ['PLV-0003', 'untested'],
    ])
    expect((await json('unit', 'show', 'plv-0002')).data.runs).toMatchObject([{ verdict: 'fail' }])
    expect((await run('unit', 'show', 'PLV-9999')).code).toBe(2)
  })

  it.each([
    ['a setting that is missing', ['--setting', 'max=good-max.wav'], 'setting-missing'],
    [
      'a setting that is unknown',
      [...['max', 'min', 'loud'].flatMap((s) => ['--setting', `${s}=good-max.wav`])],
      'setting-unknown',
    ],
    ['a file that is missing', ['--setting', 'max=gone.wav', '--setting', 'min=good-min.wav'], 'file-not-readable'],
  ])('%s: exit code 2, nothing stored', async (_, args, code) => {
    const finished = await json('test', '--unit', 'PLV-0009', '--sweep', 'sweep.wav', ...args)
    expect(finished.code).toBe(2)
    expect(finished.data.error.code).toBe(code)
    expect((await run('unit', 'show', 'PLV-0009')).code).toBe(2)
  })

  it('backs up, and the copy is checked; the check computes every verdict again', async () => {
    const { code, data } = await json('backup', 'copy.boardwright')
    expect({ code, ok: data.check.ok }).toEqual({ code: 0, ok: true })
    const check = await runCommand(['check', '--json', '--file', at('copy.boardwright')])
    expect(JSON.parse(check.stdout)).toMatchObject({ ok: true, runsChecked: 3 })
    expect(check.code).toBe(0)
  })
})

describe('manners', () => {
  it('a reader that goes away early is no error', async () => {
    const child = startCommand(['reference', 'show', '--json'], { cwd: folder, env: { BOARDWRIGHT_FILE: workshop } })
    let stderr = ''
    child.stderr?.on('data', (text) => {
      stderr += text
    })
    child.stdout?.once('data', () => child.stdout?.destroy())
    const code = await new Promise((resolve) => child.on('close', resolve))
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' })
  })

  it('serve answers on loopback and Ctrl-C ends it cleanly', async () => {
    const child = startCommand(['serve', '--port', '0', '--json'], { env: { BOARDWRIGHT_FILE: workshop } })
    const line = await new Promise<string>((resolve) => child.stdout?.once('data', (text) => resolve(String(text))))
    const { url } = JSON.parse(line)
    expect(url).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/)
    const units = await fetch(`${url}/api/units`)
    expect(units.status).toBe(200)
    await units.body?.cancel()
    child.kill('SIGINT')
    expect(await new Promise((resolve) => child.on('close', resolve))).toBe(0)
  })
})
