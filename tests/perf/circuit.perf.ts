import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { jointCovariance } from '../../packages/core/src/circuit/cloud-statistics.ts'
import { type CompiledCircuit, compileCircuit } from '../../packages/core/src/circuit/compile.ts'
import { scalarsOf } from '../../packages/core/src/circuit/complex-expression.ts'
import { drawBoard } from '../../packages/core/src/circuit/draw-board.ts'
import { writeLastVoltage } from '../../packages/core/src/circuit/eliminate.ts'
import { fitValues } from '../../packages/core/src/circuit/fit-values.ts'
import { learnHealthyModel } from '../../packages/core/src/circuit/healthy-model.ts'
import { changeSolver } from '../../packages/core/src/circuit/low-rank.ts'
import { withValues } from '../../packages/core/src/circuit/netlist.ts'
import { prepareCircuit } from '../../packages/core/src/circuit/prepare-circuit.ts'
import { angular, gainDbOf, responseOf } from '../../packages/core/src/circuit/response.ts'
import { neededOperations } from '../../packages/core/src/circuit/scalar-program.ts'
import { simulateRecording } from '../../packages/core/src/circuit/simulate-recording.ts'
import { drawCloud, toleranceGridHz } from '../../packages/core/src/circuit/tolerance-cloud.ts'
import { drawValues } from '../../packages/core/src/circuit/tolerance-draw.ts'
import { parseProduct } from '../../packages/core/src/model/parse-product.ts'
import { gridFrequenciesHz } from '../../packages/core/src/response/curve/grid.ts'
import { makeSweep } from '../../packages/core/src/response/sweep/sweep.ts'
import { twelveNodes } from './circuit-12-nodes.ts'

const folder = process.env.PERF_FOLDER ?? import.meta.dirname
type Row = { name: string; oursMs: number; otherMs?: number; other?: string; limit?: number; note?: string }
const report = (row: Row) => console.log(JSON.stringify(row))

/** Median of the processor times of a piece of work, ms; `rounds` after as many for warming up. */
const timeMs = (work: () => void, rounds = 15): number => {
  const times: number[] = []
  for (let i = 0; i < 2 * rounds; i++) {
    const start = process.cpuUsage()
    work()
    const { user, system } = process.cpuUsage(start)
    if (i >= rounds) times.push((user + system) / 1000)
  }
  return times.sort((a, b) => a - b)[rounds >> 1]
}

/** Runs the numpy script on a job; undefined when Python or numpy is missing. */
const numpy = (job: object): Record<string, number> | undefined => {
  const place = mkdtempSync(join(tmpdir(), 'boardwright-perf-'))
  try {
    writeFileSync(join(place, 'job.json'), JSON.stringify(job))
    const env = { ...process.env, OMP_NUM_THREADS: '1', OPENBLAS_NUM_THREADS: '1' }
    return JSON.parse(
      execFileSync('python3', [join(folder, 'circuit_numpy.py'), join(place, 'job.json')], { env, encoding: 'utf8' }),
    )
  } catch (error) {
    console.error(`circuit_numpy.py: ${(error as Error).message.split('\n')[0]}`)
    return undefined
  } finally {
    rmSync(place, { recursive: true })
  }
}

const positions = { bass: 1, treble: 1 }

/** The elimination's operations, for numpy to do the same on arrays. */
const operationsOf = (circuit: CompiledCircuit) => {
  const { program } = circuit.elimination
  const outputs = scalarsOf(program, [writeLastVoltage(circuit.elimination)])
  const needed = neededOperations(program, outputs)
  return {
    outputs,
    operations: program.operations.map((o, id) => (needed[id] ? [o.code, o.a, o.b, o.varies] : null)),
  }
}

const solves = () => {
  const netlist = prepareCircuit(twelveNodes)
  const circuit = compileCircuit(netlist)
  const boards = drawValues({ netlist, boards: 200, seed: 1 })
  const omega = angular(gridFrequenciesHz)
  const shares = circuit.shares(positions)
  const tables = boards.map((v) => circuit.primitives(v, shares))
  const count = boards.length * omega.length
  const run = (kind: 'output' | 'voltages') => {
    const program = circuit.program(kind)
    const into = new Float64Array(program.stride * omega.length)
    return timeMs(() => {
      for (const table of tables) program.run(table, omega, into, 0)
    })
  }
  const outputMs = run('output')
  const voltagesMs = run('voltages')
  const { terms, stamps, outputIndex, unknowns } = circuit.equations
  const into = new Float64Array(2 * omega.length)
  const expected = tables.slice(0, 20).flatMap((table) => {
    circuit.program('output').run(table, omega, into, 0)
    return [...into]
  })
  const other = numpy({
    task: 'solves',
    size: unknowns.length,
    terms,
    stamps,
    outputIndex,
    omega: [...omega],
    tables: tables.map((t) => [...t]),
    expected,
    ...operationsOf(circuit),
  })
  const rate = (ms: number) => `${(count / ms / 1000).toFixed(1)} M/s`
  const note = (ms: number) => `${unknowns.length} nodes, ${rate(ms)}`
  report({
    name: '12-node solves, output only / numpy batched LAPACK',
    oursMs: outputMs,
    otherMs: other?.lapackMs,
    other: 'numpy',
    limit: 1 / 30,
    note: `${note(outputMs)}${other ? `, numpy ${rate(other.lapackMs)}, largest relative error ${other.error.toExponential(1)} (LAPACK ${other.lapackError.toExponential(1)})` : ''}`,
  })
  report({
    name: '12-node solves, all unknowns / numpy batched LAPACK',
    oursMs: voltagesMs,
    otherMs: other?.lapackMs,
    other: 'numpy',
    limit: 1 / 30,
    note: note(voltagesMs),
  })
  report({
    name: '12-node solves, output only / same algorithm in numpy',
    oursMs: outputMs,
    otherMs: other?.vectorisedMs,
    other: 'numpy',
    limit: 1 / 2,
    note: other ? `numpy ${rate(other.vectorisedMs)}` : '',
  })
}

const fit = () => {
  const netlist = prepareCircuit(twelveNodes)
  const truth = { C3: 30e-9, C4: 36e-9, C5: 4e-9, R3: 20e3, R5: 14e3, R6: 6e3, C1: 400e-9, R2: 1500 }
  const settings = [positions, { bass: 0, treble: 0 }, { bass: 0.5, treble: 0.5 }]
  const values = withValues(netlist, truth)
  const measured = settings.map((p) => ({
    positions: p,
    frequencyHz: toleranceGridHz,
    gainDb: gainDbOf(responseOf({ netlist, values, positions: p, frequencyHz: toleranceGridHz })),
    uncertaintyDb: 0.05,
  }))
  const priors = Object.fromEntries(Object.keys(truth).map((name) => [name, { deviation: 0.3 }]))
  const oursMs =
    timeMs(() => {
      for (let i = 0; i < 20; i++) fitValues({ netlist, measured, priors })
    }, 10) / 20
  const circuit = compileCircuit(netlist)
  const { terms, stamps, outputIndex, unknowns, list } = circuit.equations
  const names = Object.keys(truth)
  const result = fitValues({ netlist, measured, priors })
  const other = numpy({
    task: 'fit',
    size: unknowns.length,
    terms,
    stamps,
    outputIndex,
    omega: [...angular(toleranceGridHz)],
    tables: settings.map((p) => [...circuit.primitives(netlist.nominal, circuit.shares(p))]),
    gains: measured.map((m) => [...m.gainDb]),
    // Which primitive each fitted value makes, and whether it is the value or its inverse.
    fitted: names.map((name) => {
      const slot = list.primitives.findIndex((p) => p.parameter === netlist.index.get(name))
      return {
        slot,
        inverse: list.primitives[slot].rule === 'inverse',
        answer: Math.log(result.fitted[names.indexOf(name)].ratio),
      }
    }),
  })
  report({
    name: 'fit of 8 values, 3 settings / scipy least_squares',
    oursMs,
    otherMs: other?.fitMs,
    other: 'scipy',
    limit: 0.05,
    note: `${result.steps} steps${other ? `, largest difference of ln(value) ${other.error.toExponential(1)}` : ''}`,
  })
}

const product = parseProduct(readFileSync(join(folder, '../../shared/products/plover.json'), 'utf8'))

const tolerance = () => {
  const netlist = prepareCircuit(product.circuit)
  const settings = product.settings.slice(0, 3)
  let seed = 0
  const cloud = (frequencyHz: ArrayLike<number>) =>
    timeMs(() => drawCloud({ netlist, settings, seed: seed++, frequencyHz }), 8)
  report({
    name: 'tolerance cloud, 1,000 boards x 3 settings',
    oursMs: cloud(toleranceGridHz),
    note: '61 points, 19 nodes; aim 50 ms',
  })
  report({ name: 'the same on the measuring grid', oursMs: cloud(gridFrequenciesHz), note: '241 points' })
  const drawn = drawCloud({ netlist, settings, seed: 1 })
  report({ name: 'joint covariance of the cloud', oursMs: timeMs(() => jointCovariance(drawn), 5), note: '183 x 183' })
  report({
    name: 'learning the healthy model',
    oursMs: timeMs(() => learnHealthyModel({ netlist, settings }), 3),
    note: '1,000 boards and 500 to calibrate',
  })
}

const updates = () => {
  const netlist = prepareCircuit(product.circuit)
  const none = new Float64Array(toleranceGridHz.length)
  const elements = netlist.elements.filter((e) => e.kind === 'resistor')
  const work = () => {
    for (const { positions: p } of product.settings.slice(0, 3)) {
      const solver = changeSolver({ netlist, positions: p, frequencyHz: toleranceGridHz })
      for (let k = 0; k < 400; k++) {
        const [from, to] = elements[k % elements.length].nodes
        solver.withChanges([{ from, to, delta: { re: none.map(() => 1e-4 * (k + 1)), im: none } }])
      }
    }
  }
  report({
    name: '400 single changes x 3 settings by update',
    oursMs: timeMs(work, 5),
    note: '61 points, complete solve included',
  })
}

const recordings = () => {
  const sweep = makeSweep(product.testPlan.stimulus)
  const board = drawBoard({ product, seed: 1 })
  const simulate = (level: number) => {
    const sweepSamples = sweep.samples.map((x) => x * level)
    return timeMs(
      () => simulateRecording({ product, board, setting: 'max', sweepSamples, rateHz: sweep.rateHz, noiseDbfs: -100 }),
      2,
    )
  }
  report({
    name: 'simulated recording of a 5 s sweep, no limit met',
    oursMs: simulate(1),
    note: 'exact response, noise of board and interface',
  })
  report({ name: 'the same 12 dB louder, clipping', oursMs: simulate(4), note: 'stepped in time; aim 1,500 ms' })
}

solves()
fit()
tolerance()
updates()
recordings()
