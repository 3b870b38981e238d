// Boards drawn at random with one fault each, diagnosed as the bench would: the figures of the diagnosis, reproducible by seed.
import { readdirSync, readFileSync } from 'node:fs'
import { parseProduct } from '@boardwright/core'
import {
  drawBoard,
  learnHealthyModel,
  operatingPointOf,
  prepareCircuit,
  RandomSource,
  seedOf,
  testShape,
} from '@boardwright/core/circuit'
import { diagnose, healthyMisfit, hypothesesOf, kindWeights, simulateCurve } from '@boardwright/core/diagnosis'

const here = new URL('.', import.meta.url)

/** The demo product and the textbook circuits, by name. */
export const loadProducts = () => {
  const read = (url) => parseProduct(readFileSync(url, 'utf8'))
  const folder = new URL('../circuits/', here)
  const others = readdirSync(folder).filter((name) => name.endsWith('.json'))
  return [
    read(new URL('../../shared/products/plover.json', here)),
    ...others.sort().map((name) => read(new URL(name, folder))),
  ]
}

const pick = (random, list) => list[Math.floor(random.uniform() * list.length)]

/** A kind by its weight, then one of its hypotheses; a size that is free lies where the prior says. */
const drawFault = (random, hypotheses) => {
  const kinds = [...new Set(hypotheses.map((h) => h.kind))].filter((k) => k !== 'healthy')
  let rest = random.uniform() * kinds.reduce((sum, k) => sum + kindWeights[k].weight, 0)
  let kind = kinds[kinds.length - 1]
  for (const k of kinds) {
    rest -= kindWeights[k].weight
    if (rest < 0) {
      kind = k
      break
    }
  }
  const hypothesis = pick(
    random,
    hypotheses.filter((h) => h.kind === kind),
  )
  const { fault, free } = hypothesis
  if (!free) return { hypothesis, fault }
  return { hypothesis, fault: { ...fault, value: fault.value * Math.exp(free.deviation * random.normal()) } }
}

const measured = (setting, curve) => ({
  setting,
  usable: true,
  findings: [],
  origin: 'study',
  rateHz: 48000,
  delayS: 0,
  polarity: 1,
  gainAt1kHzDb: 0,
  curve,
  distortion: null,
  noise: null,
})

/** Everything a bench could ask of one drawn board. */
export const benchOf = (product, board, seed) => {
  const random = new RandomSource(seedOf(seed, 'bench'))
  const levelDb = 0.05 * random.normal()
  const sweep = (setting, node) =>
    measured(setting, simulateCurve({ product, board, setting, node, levelDb, delayS: 2e-5 * random.normal(), seed }))
  const rest = (setting) => {
    const { positions } = product.settings.find((s) => s.name === setting)
    return operatingPointOf({ netlist: board.netlist, values: board.values, positions })
  }
  return {
    sweep,
    voltage: (setting, node) =>
      (rest(setting).nodeV[node] ?? 0) * (1 + 0.005 * random.normal()) + 2e-3 * random.normal(),
    current: (setting) =>
      Object.values(rest(setting).supplyCurrentA).reduce((sum, amps) => sum + Math.abs(amps), 0) *
      (1 + 0.01 * random.normal()),
  }
}

const limitsAt = (breakpoints, hz) => {
  const last = breakpoints.length - 1
  if (hz <= breakpoints[0].frequencyHz) return breakpoints[0]
  if (hz >= breakpoints[last].frequencyHz) return breakpoints[last]
  const i = breakpoints.findIndex((_, k) => k < last && breakpoints[k + 1].frequencyHz >= hz)
  const share =
    Math.log(hz / breakpoints[i].frequencyHz) / Math.log(breakpoints[i + 1].frequencyHz / breakpoints[i].frequencyHz)
  const mix = (key) => breakpoints[i][key] + share * (breakpoints[i + 1][key] - breakpoints[i][key])
  return { upperDb: mix('upperDb'), lowerDb: mix('lowerDb') }
}

/** True when a curve leaves the plain dB band about the nominal board. */
export const outsideBand = (product, nominal, measurements) =>
  measurements.some(({ setting, curve }) => {
    const band = product.testPlan.bands.find((b) => b.setting === setting)
    if (!band) return false
    return curve.frequencyHz.some((hz, i) => {
      const { upperDb, lowerDb } = limitsAt(band.breakpoints, hz)
      const deviation = curve.gainDb[i] - nominal[setting].gainDb[i]
      return deviation > upperDb || deviation < lowerDb
    })
  })

/** The judge of a study: the plain dB band and the whole-shape test, both against the board as designed. */
export const judgeOf = (product, settings) => {
  const nominal = nominalCurves(product, settings)
  const model = learnHealthyModel({
    netlist: prepareCircuit(product.circuit),
    settings: settings.map((name) => product.settings.find((s) => s.name === name)),
    against: 'nominal',
    measurementDb: 0.05,
    levelDb: 0.05,
  })
  const judge = (measurements) => {
    const deviations = measurements.map(({ setting, curve }) => ({
      setting,
      frequencyHz: curve.frequencyHz,
      deviationDb: curve.gainDb.map((g, i) => g - nominal[setting].gainDb[i]),
    }))
    return {
      band: outsideBand(product, nominal, measurements),
      shape: !testShape({ model, deviations }).passed,
    }
  }
  return Object.assign(judge, { nominal })
}

export const nominalCurves = (product, settings) => {
  const board = drawBoard({ product, seed: 1, spread: 'none' })
  return Object.fromEntries(settings.map((s) => [s, simulateCurve({ product, board, setting: s, noiseDb: 0 })]))
}

/** Settings a study measures: those the issue names where the product has them, else the first three. */
export const studySettings = (product) => {
  const names = product.settings.map((s) => s.name)
  const wanted = ['max', 'min', 'centre'].filter((n) => names.includes(n))
  return wanted.length > 0 ? wanted : names.slice(0, 3)
}

const blameKey = ({ kind, designators, nodes }) =>
  kind === 'healthy'
    ? 'healthy'
    : kind === 'rig-pin' || kind === 'bridge'
      ? `${kind} ${[...nodes].sort()}`
      : [...designators].sort().join(' ')

/** Probability by what is blamed, most probable first. */
export const blames = ({ suspects }) => {
  const sums = new Map()
  for (const { suspicions } of suspects)
    for (const s of suspicions) sums.set(blameKey(s), (sums.get(blameKey(s)) ?? 0) + s.probability)
  return [...sums].map(([key, probability]) => ({ key, probability })).sort((a, b) => b.probability - a.probability)
}

/** Diagnoses a board, then follows the first suggestion up to three times. */
const followChecks = (product, bench, measurements, truth, { partChecks }) => {
  const options = {
    product,
    measurements: [...measurements],
    probes: [],
    nodeVoltagesV: {},
    soundParts: [],
    faultyParts: [],
  }
  const first = diagnose(options)
  let now = first
  let made = 0
  while (made < 3) {
    const top = blames(now)[0]
    const check = now.nextChecks.find((c) => partChecks || c.kind !== 'part')
    if (!check || (top && top.probability >= 0.95)) break
    made++
    if (check.kind === 'setting') options.measurements.push(bench.sweep(check.setting))
    else if (check.kind === 'probe')
      options.probes.push({ node: check.node, measurement: bench.sweep(check.setting, check.node) })
    else if (check.kind === 'voltage') options.nodeVoltagesV[check.node] = bench.voltage(check.setting, check.node)
    else if (check.kind === 'supply-current') options.supplyCurrentA = bench.current(check.setting)
    else if (truth.designators.includes(check.designator) && truth.kind !== 'bridge')
      options.faultyParts.push(check.designator)
    else options.soundParts.push(check.designator)
    now = diagnose({ ...options, probes: [...options.probes] })
  }
  return { first, last: now, made }
}

/**
 * Draws `boards` failing boards with one fault each of the dictionary and diagnoses them.
 *
 * @returns one record per board
 */
export const studyFaults = ({ product, boards, seed, partChecks = true, onBoard = () => {} }) => {
  const settings = studySettings(product)
  const judge = judgeOf(product, settings)
  const { hypotheses } = hypothesesOf(product)
  const records = []
  const gross = { boards: 0, band: 0, shape: 0 }
  const grossShown = { boards: 0, band: 0, shape: 0 }
  let drawn = 0
  while (records.length < boards && drawn < 40 * boards) {
    drawn++
    const boardSeed = seedOf(seed, `${product.id} ${drawn}`)
    const random = new RandomSource(boardSeed)
    const { hypothesis, fault } = drawFault(random, hypotheses)
    const board = drawBoard({ product, seed: boardSeed, faults: [fault] })
    const bench = benchOf(product, board, boardSeed)
    const measurements = settings.map((s) => bench.sweep(s))
    const { band, shape } = judge(measurements)
    if (isGross(hypothesis)) {
      count(gross, band, shape)
      if (showsAtAll(product, settings, judge.nominal, fault)) count(grossShown, band, shape)
    }
    if (!band && !shape) {
      onBoard({ passed: true, hypothesis, fault })
      continue
    }
    const { first, last, made } = followChecks(product, bench, measurements, hypothesis, { partChecks })
    const truth = blameKey(hypothesis)
    const group = first.suspects.findIndex((s) => s.suspicions.some((x) => blameKey(x) === truth))
    const exact = first.suspects.findIndex((s) => s.suspicions.some((x) => x.id === hypothesis.id))
    const [named] = blames(last)
    const record = {
      seed: boardSeed,
      truth,
      kind: hypothesis.kind,
      id: hypothesis.id,
      fault,
      group,
      exact,
      groupParts: new Set(first.suspects[0]?.suspicions.map(blameKey)).size,
      topProbability: first.suspects[0]?.probability ?? 0,
      topBlame: blames(first)[0],
      none: first.noneProbability,
      rigFault: first.rigFault,
      named,
      namedNone: last.noneProbability,
      made,
      band,
      shape,
      first,
      last,
    }
    records.push(record)
    onBoard(record)
  }
  return { records, drawn, gross, grossShown }
}

const count = (tally, band, shape) => {
  tally.boards++
  if (!band) tally.band++
  if (!shape) tally.shape++
}

/** True when a fault moves the designed board's response by 1 dB anywhere: what no curve shows, no test of curves can fail. */
const showsAtAll = (product, settings, nominal, fault) => {
  const board = drawBoard({ product, seed: 1, spread: 'none', faults: [fault] })
  return settings.some((setting) => {
    const { gainDb } = simulateCurve({ product, board, setting, noiseDb: 0 })
    return gainDb.some((g, i) => Math.abs(g - nominal[setting].gainDb[i]) >= 1)
  })
}

/** What the issue calls a gross fault. */
const grossKinds = ['open', 'short', 'decade-slip', 'amplifier-dead', 'amplifier-stuck']
const isGross = ({ kind, designators }) =>
  grossKinds.includes(kind) || (kind === 'reversed' && designators.some((d) => d.startsWith('P')))

/** True when two sets of curves lie 0.5 dB apart anywhere above -80 dB. */
const differ = (a, b) =>
  b !== null &&
  a.some(({ curve }, s) =>
    curve.gainDb.some((g, i) => Math.abs(Math.max(-80, g) - Math.max(-80, b[s].curve.gainDb[i])) > 0.5),
  )

const between = (random, low, high) => low * (high / low) ** random.uniform()

/** A fault that no hypothesis describes, as a changed circuit. */
const drawOutside = (random, product, hypotheses) => {
  const { circuit } = product
  const nodes = [...new Set(circuit.elements.filter((e) => e.place !== 'rig').flatMap((e) => e.nodes))]
  const add = (element) => ({
    ...circuit,
    elements: [...circuit.elements, { designator: 'Z99', place: 'rig', ...element }],
  })
  const kind = pick(random, ['two', 'capacitance', 'resistance', 'taper', 'gain'])
  if (kind === 'two') {
    const a = drawFault(random, hypotheses)
    const b = drawFault(random, hypotheses)
    return { kind, faults: [a.fault, b.fault], circuit, truths: [a.hypothesis, b.hypothesis] }
  }
  if (kind === 'taper') {
    const pots = circuit.elements.filter((e) => e.kind === 'potentiometer' && e.taper === 'linear')
    if (pots.length === 0) return null
    const { designator } = pick(random, pots)
    const elements = circuit.elements.map((e) => (e.designator === designator ? { ...e, taper: 'logarithmic' } : e))
    return { kind, faults: [], circuit: { ...circuit, elements }, truths: [] }
  }
  if (kind === 'gain') {
    const amps = circuit.elements.filter((e) => e.kind === 'op-amp')
    if (amps.length === 0) return null
    const { designator } = pick(random, amps)
    const openLoopGainDb = 20 + 25 * random.uniform()
    const elements = circuit.elements.map((e) => (e.designator === designator ? { ...e, openLoopGainDb } : e))
    return { kind, faults: [], circuit: { ...circuit, elements }, truths: [] }
  }
  const pair = [pick(random, nodes), pick(random, nodes)]
  if (pair[0] === pair[1]) return null
  const joined = circuit.elements.some((e) => pair.every((n) => e.nodes.includes(n)))
  if (joined) return null
  return kind === 'capacitance'
    ? {
        kind,
        faults: [],
        truths: [],
        circuit: add({ kind: 'capacitor', nodes: pair, value: between(random, 1e-10, 1e-7), dielectric: 'film' }),
      }
    : {
        kind,
        faults: [],
        truths: [],
        circuit: add({ kind: 'resistor', nodes: pair, value: between(random, 500, 2e5) }),
      }
}

/** Boards with a fault outside the dictionary: two at once, stray capacitance or leakage, wrong taper, an op-amp of little gain. */
export const studyOutside = ({ product, boards, seed }) => {
  const settings = studySettings(product)
  const judge = judgeOf(product, settings)
  const { hypotheses } = hypothesesOf(product)
  const records = []
  let drawn = 0
  while (records.length < boards && drawn < 60 * boards) {
    drawn++
    const boardSeed = seedOf(seed, `outside ${product.id} ${drawn}`)
    const random = new RandomSource(boardSeed)
    const outside = drawOutside(random, product, hypotheses)
    if (!outside) continue
    const sweepsOf = (circuit, faults) => {
      try {
        const board = drawBoard({ product: { ...product, circuit }, seed: boardSeed, faults })
        const bench = benchOf(product, board, boardSeed)
        return settings.map((s) => bench.sweep(s))
      } catch {
        // The second fault may be one that the first has made impossible.
        return null
      }
    }
    const measurements = sweepsOf(outside.circuit, outside.faults)
    if (!measurements || !judge(measurements).shape) continue
    // Two faults of which one hides the other, or cannot be seen, are one fault.
    if (outside.kind === 'two' && !outside.faults.every((f) => differ(measurements, sweepsOf(outside.circuit, [f]))))
      continue
    const d = diagnose({ product, measurements, checks: 0 })
    const [blame] = blames(d)
    records.push({
      kind: outside.kind,
      faults: outside.faults,
      none: d.noneProbability,
      top: d.suspects[0]?.probability ?? 0,
      blame: blame?.probability ?? 0,
      half: outside.truths.some((t) => blameKey(t) === blame?.key),
      first: d,
    })
  }
  return { records, drawn }
}

/** Healthy boards: how many the plain band and the whole shape fail. */
export const studyHealthy = ({ product, boards, seed }) => {
  const settings = studySettings(product)
  const judge = judgeOf(product, settings)
  let band = 0
  let shape = 0
  for (let i = 0; i < boards; i++) {
    const boardSeed = seedOf(seed, `healthy ${product.id} ${i}`)
    const bench = benchOf(product, drawBoard({ product, seed: boardSeed }), boardSeed)
    const measurements = settings.map((s) => bench.sweep(s))
    const failed = judge(measurements)
    if (failed.band) band++
    if (failed.shape) shape++
  }
  return { boards, band, shape }
}

/** Squared distance at which a test aimed at one part finds it in 90 boards of 100 at a false alarm of 1 in 1000. */
const foundSquare = (3.2905 + 1.2816) ** 2

/** What the tolerances of all parts cannot explain of a board with one fault and no noise, by gain and phase. */
const misfitOf = (product, settings, faults) => {
  const board = drawBoard({ product, seed: 1, spread: 'none', faults })
  const measurements = settings.map((setting) => {
    const curve = simulateCurve({ product, board, setting, noiseDb: 0 })
    return measured(setting, { ...curve, uncertaintyDb: curve.uncertaintyDb.map(() => 0.05) })
  })
  return healthyMisfit({ product, measurements }).chiSquare
}

/** Smallest error of each part's value, up and down, that shows with 90 % power; null when none up to tenfold does. */
export const studySoftFaults = ({ product }) => {
  const settings = studySettings(product)
  const parts = prepareCircuit(product.circuit).parameters.filter(
    (p) => p.place === 'board' && p.kind === 'value' && p.dimension !== 'voltage',
  )
  // A notch bends faster than the thinned curve: what even the designed board does not explain counts for no part.
  const least = misfitOf(product, settings, []) + foundSquare
  const isFound = (designator, value) => misfitOf(product, settings, [{ kind: 'value', designator, value }]) >= least
  return parts.map(({ designator, nominal }) => {
    const smallest = (sign) => {
      let [low, high] = [0, Math.log(10)]
      if (!isFound(designator, nominal * Math.exp(sign * high))) return null
      for (let step = 0; step < 7; step++) {
        const middle = (low + high) / 2
        if (isFound(designator, nominal * Math.exp(sign * middle))) high = middle
        else low = middle
      }
      return Math.exp(sign * high) - 1
    }
    return { designator, up: smallest(1), down: smallest(-1) }
  })
}
