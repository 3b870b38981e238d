// The whole analysis of one 5 s sweep at 48 kHz (deconvolution, linear and harmonic windows, noise, curve, distortion),
// ours against the same algorithm in numpy/scipy (response_scipy.py), on the same samples.
import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeCurve } from '../../packages/core/src/response/curve/curve.ts'
import { levelCount } from '../../packages/core/src/response/curve/deconvolve.ts'
import { gridFrequenciesHz } from '../../packages/core/src/response/curve/grid.ts'
import { measureBodies } from '../../packages/core/src/response/curve/measure-bodies.ts'
import { measureRecording } from '../../packages/core/src/response/curve/measure-recording.ts'
import {
  harmonicWindow,
  longWindow,
  noiseWindow,
  shortWindow,
} from '../../packages/core/src/response/curve/measuring-window.ts'
import { quietLags } from '../../packages/core/src/response/curve/read-noise.ts'
import { responsePlan } from '../../packages/core/src/response/curve/response-plan.ts'
import { makeSweep } from '../../packages/core/src/response/sweep/sweep.ts'

const rateHz = 48_000
const settings = {
  rateHz,
  durationS: 5,
  fromHz: 20,
  toHz: 20_000,
  levelDbfs: -6,
  repeats: 1,
  silenceBeforeS: 0.3,
  silenceAfterS: 0.7,
  markers: true,
}

/** A recording with a one-pole treble cut, a little distortion and noise (a plain congruential generator). */
const makeRecording = (samples: Float64Array): Float64Array => {
  let state = 1
  let low = 0
  return samples.map((x) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    low += 0.6 * (x - low)
    return low + 0.01 * low * low + 1e-4 * (state / 2 ** 32 - 0.5)
  })
}

/** Processor time (all threads of this process), ms: other work on the machine counts less than in wall time. */
const processorMs = (work: () => unknown): number => {
  const start = process.cpuUsage()
  work()
  const used = process.cpuUsage(start)
  return (used.user + used.system) / 1000
}

const median = (values: number[]): number => values.toSorted((a, b) => a - b)[values.length >> 1]

const timed = (work: () => unknown): number => {
  const start = performance.now()
  work()
  return performance.now() - start
}

const sweep = makeSweep(settings)
const samples = makeRecording(sweep.samples)
const alignment = { offsetSamples: 0, score: 1, bodiesFound: 1 }
const analyse = () => {
  const measured = measureBodies({ sweep, response: { samples, hum: null }, loopBack: null, alignment })
  if (!measured) throw new Error('the sweep was not found')
  return { curve: makeCurve(measured.mean, settings), distortion: measured.distortion }
}

const firstMs = timed(analyse)
if (process.env.PERF_FIRST) {
  process.stdout.write(String(firstMs))
  process.exit(0)
}
const warmMs = median(Array.from({ length: 60 }, () => processorMs(analyse)))
const ours = analyse()
const whole = () =>
  measureRecording({
    sweep,
    recording: { rateHz, channels: [samples], sampleFormat: 'float64', bits: 64, truncated: false },
  })
const wholeFirstMs = timed(whole)
const wholeMs = median(Array.from({ length: 30 }, () => processorMs(whole)))

/** What the other side needs to do the same: where the body stands, sizes, windows by frequency. */
const describeWork = () => {
  const plan = responsePlan(sweep)
  const rateS = sweep.rateS ?? Number.NaN
  const windows = (at: (f: number) => object) => gridFrequenciesHz.map(at)
  return {
    rateHz,
    rateS,
    settings,
    runInS: sweep.runInS,
    runOutS: sweep.runOutS,
    body: sweep.bodies[0],
    stretchEnd: sweep.markers[1].startSample,
    size: plan.filter.size,
    levels: levelCount(plan.filter),
    grid: gridFrequenciesHz,
    quietLags: quietLags(plan),
    windows: {
      long: windows((f) => longWindow(f, rateS)),
      short: windows((f) => shortWindow(f, rateS)),
      noise: windows(noiseWindow),
      2: windows((f) => harmonicWindow(f, rateS, 2)),
      3: windows((f) => harmonicWindow(f, rateS, 3)),
      4: windows((f) => harmonicWindow(f, rateS, 4)),
      5: windows((f) => harmonicWindow(f, rateS, 5)),
    },
    expected: { gainDb: ours.curve.gainDb, thdPercent: ours.distortion?.thdPercent },
  }
}

const python = (folder: string, ...words: string[]) =>
  spawnSync('python3', [join(process.env.PERF_FOLDER ?? '.', 'response_scipy.py'), folder, ...words], {
    encoding: 'utf8',
    // One thread, as on our side; idle threads that spin would count as processor time.
    env: { ...process.env, OPENBLAS_NUM_THREADS: '1' },
  })

/** First calls in fresh processes, the two sides in turn, so that both meet the same machine. */
const firstCalls = (folder: string) => {
  const rounds = Array.from({ length: 5 }, () => ({
    oursMs: Number(execFileSync(process.execPath, [process.argv[1]], { env: { ...process.env, PERF_FIRST: '1' } })),
    otherMs: Number(python(folder, 'first').stdout),
  }))
  return { oursMs: median(rounds.map((r) => r.oursMs)), otherMs: median(rounds.map((r) => r.otherMs)) }
}

interface Other {
  warmMs: number
  differenceDb: number
  first: { oursMs: number; otherMs: number }
}

const runOther = (): Other | null => {
  const folder = mkdtempSync(join(tmpdir(), 'boardwright-perf-'))
  try {
    writeFileSync(join(folder, 'sweep.f64'), new Uint8Array(sweep.samples.buffer))
    writeFileSync(join(folder, 'recording.f64'), new Uint8Array(samples.buffer))
    writeFileSync(join(folder, 'work.json'), JSON.stringify(describeWork()))
    const run = python(folder)
    if (run.status === 0) return { ...JSON.parse(run.stdout), first: firstCalls(folder) }
    process.stderr.write(`scipy side not run: ${run.stderr?.split('\n').at(-2) ?? run.error}\n`)
    return null
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

const other = runOther()
const print = (row: object) => process.stdout.write(`${JSON.stringify(row)}\n`)
const same = other ? `curves agree within ${other.differenceDb.toExponential(1)} dB` : 'python3-scipy not present'
print({
  name: 'analysis, warm (processor time)',
  oursMs: warmMs,
  otherMs: other?.warmMs,
  other: 'scipy',
  limit: 0.6,
  note: same,
})
print({
  name: 'analysis, first call (wall time, 5 processes)',
  oursMs: other?.first.oursMs ?? firstMs,
  otherMs: other?.first.otherMs,
  other: 'scipy',
  limit: 1.5,
})
print({ name: 'finding, checks, noise and analysis, warm (processor)', oursMs: wholeMs })
print({ name: 'the same, first call after the analysis', oursMs: wholeFirstMs })
