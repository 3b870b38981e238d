import { describe, expect, it } from 'vitest'
import { drawBoard } from '../../src/circuit/draw-board.ts'
import { operatingPointOf } from '../../src/circuit/operating-point.ts'
import { diagnose, type ProbeMeasurement } from '../../src/diagnosis/diagnose.ts'
import { simulateCurve } from '../../src/diagnosis/simulate-reading.ts'
import { Diagnosis } from '../../src/model/diagnosis.ts'
import { plover } from '../circuit/read-product.ts'
import { benchFor, measured, textbook } from './bench.ts'

const three = ['max', 'min', 'centre']

describe('the diagnosis of a board', () => {
  it('names a wrong part, its value and its place in words', () => {
    const bench = benchFor(plover, 11, [{ kind: 'value', designator: 'C9', value: '33 nF' }])
    const found = diagnose({ product: plover, measurements: bench.sweeps(three) })
    expect(Diagnosis.parse(found)).toEqual(found)
    const [first] = found.suspects
    expect(first.suspicions[0].words).toBe('C9 is probably 33 nF instead of 3.3 nF')
    expect(first.suspicions[0].expected).toBe('3.3 nF')
    expect(first.suspicions[0].found).toBe('33 nF')
    expect(first.probability).toBeGreaterThan(0.9)
    expect(first.places[0]).toMatchObject({ designator: 'C9', side: 'top' })
    expect(first.curves.map((c) => c.setting)).toEqual(three)
    expect(found.words).toMatch(/^C9 is probably 33 nF/)
    expect(found.rigFault).toBe(false)
  })

  it('draws the suspect over the measured curve', () => {
    const bench = benchFor(plover, 12, [{ kind: 'open', designator: 'R10' }])
    const measurements = bench.sweeps(three)
    const { suspects } = diagnose({ product: plover, measurements, checks: 0 })
    for (const { setting, frequencyHz, gainDb } of suspects[0].curves) {
      const { curve } = measurements.find((m) => m.setting === setting)!
      frequencyHz.forEach((hz, k) => {
        const i = curve!.frequencyHz.findIndex((f) => Math.abs(f / hz - 1) < 1e-6)
        // The fit follows the board within the noise (0.05 dB) and the rig's level (0.1 dB).
        expect(Math.abs(gainDb[k] - curve!.gainDb[i])).toBeLessThan(0.4)
      })
    }
  })

  it('calls a pin of the rig a pin of the rig', () => {
    for (const node of ['in', 'out']) {
      const bench = benchFor(plover, 13, [{ kind: 'pin-open', node }])
      const found = diagnose({ product: plover, measurements: bench.sweeps(three), checks: 0 })
      expect(found.rigFault, node).toBe(true)
      expect(found.suspects[0].words).toMatch(node === 'in' ? /input pin/ : /output pin/)
    }
  })

  it('finds nothing on a healthy board', () => {
    for (const seed of [21, 22, 23]) {
      const found = diagnose({ product: plover, measurements: benchFor(plover, seed, []).sweeps(three), checks: 0 })
      // With it stand the faults that no curve shows; what a curve would show is not believed.
      expect(found.healthyProbability).toBeGreaterThan(0.5)
      expect(found.noneProbability).toBeLessThan(0.05)
    }
  })

  it('says "none of these" for two faults at once', () => {
    const bench = benchFor(plover, 31, [
      { kind: 'value', designator: 'C7', value: '3.3 nF' },
      { kind: 'value', designator: 'R10', value: '18 kohm' },
    ])
    const found = diagnose({ product: plover, measurements: bench.sweeps(three), checks: 0 })
    expect(found.noneProbability).toBeGreaterThan(0.9)
    expect(found.words).toMatch(/Nothing in the dictionary/)
  })

  it('puts together what the curves cannot tell apart, and takes it apart with a voltage', () => {
    const bench = benchFor(plover, 41, [{ kind: 'open', designator: 'R2' }])
    const measurements = bench.sweeps(three)
    const first = diagnose({ product: plover, measurements })
    expect(first.suspects[0].designators.length).toBeGreaterThan(3)
    const top = Math.max(...first.suspects[0].suspicions.map((s) => s.probability))
    expect(top).toBeLessThan(0.5)
    const { nodeV } = operatingPointOf({
      netlist: bench.board.netlist,
      values: bench.board.values,
      positions: plover.settings[0].positions,
    })
    const second = diagnose({ product: plover, measurements, nodeVoltagesV: { half: nodeV.half, vcc: nodeV.vcc } })
    const blamed = second.suspects.flatMap((s) => s.suspicions).filter((s) => s.designators.includes('R2'))
    expect(blamed.reduce((sum, s) => sum + s.probability, 0)).toBeGreaterThan(0.5)
  })

  it('works from one setting, and from silence', () => {
    const one = benchFor(plover, 51, [{ kind: 'value', designator: 'R9', value: '1 Mohm' }])
    expect(diagnose({ product: plover, measurements: [one.sweep('max')], checks: 0 }).suspects.length).toBeGreaterThan(
      0,
    )
    const silent = three.map((setting) => ({
      ...measured(setting, null),
      findings: [{ code: 'silent' as const, severity: 'refuse' as const, message: 'silent', remedy: 'look' }],
    }))
    const found = diagnose({ product: plover, measurements: silent })
    const blamed = found.suspects.flatMap((s) => s.suspicions)
    expect(blamed.some((s) => s.kind === 'rig-pin')).toBe(true)
    // A capacitor of the tone control cannot silence the board.
    expect(blamed.filter((s) => s.designators.includes('C7')).reduce((sum, s) => sum + s.probability, 0)).toBeLessThan(
      0.02,
    )
    expect(found.nextChecks.length).toBeGreaterThan(0)
  })

  it('takes a probe that hears nothing for a sign that the signal is lost before it', () => {
    const silence = (setting: string) => ({
      ...measured(setting, null),
      findings: [{ code: 'silent' as const, severity: 'refuse' as const, message: 'silent', remedy: 'look' }],
    })
    const measurements = three.map(silence)
    const heard = (node: string) => ({ node, measurement: benchFor(plover, 52, []).sweep('max', node) })
    const chance = (kinds: (id: string) => boolean, probes: readonly ProbeMeasurement[]) =>
      diagnose({ product: plover, measurements, probes, checks: 0 })
        .suspects.flatMap((s) => s.suspicions)
        .filter((s) => kinds(s.id))
        .reduce((sum, s) => sum + s.probability, 0)
    const early = (id: string) => id === 'open C3' || id === 'rig-pin in' || id === 'open R4'
    const late = (id: string) => id === 'open R12' || id === 'open C11' || id === 'rig-pin out'
    // "gain" is the output of the first op-amp: C3 and R4 lie before it, C11 and R12 far behind.
    const silentAtGain = [{ node: 'gain', measurement: silence('max') }]
    expect(chance(late, silentAtGain)).toBeLessThan(0.01)
    expect(chance(early, silentAtGain)).toBeGreaterThan(5 * chance(late, silentAtGain))
    expect(chance(late, [heard('gain')])).toBeGreaterThan(0.3)
    expect(chance(early, [heard('gain')])).toBeLessThan(0.01)
  })

  it('goes by the curve of a board that is too quiet for the judge', () => {
    const bench = benchFor(plover, 53, [{ kind: 'pin-open', node: 'in' }])
    const measurements = bench.sweeps(three).map((m) => ({
      ...m,
      usable: false,
      findings: [{ code: 'too-noisy' as const, severity: 'refuse' as const, message: 'noisy', remedy: 'louder' }],
    }))
    const { suspects, misfit } = diagnose({ product: plover, measurements, checks: 0 })
    expect(suspects[0].suspicions[0].id).toBe('rig-pin in')
    expect(misfit.numbers).toBe(294)
  })

  it('blames what makes a board loud when the recordings are clipped', () => {
    const measurements = ['max', 'min'].map((setting) => ({
      ...measured(setting, null),
      findings: [{ code: 'clipped' as const, severity: 'refuse' as const, message: 'clipped', remedy: 'quieter' }],
    }))
    const { suspects, noneProbability } = diagnose({ product: plover, measurements, checks: 0 })
    // R6 to ground sets the gain of the first op-amp; shorted, there is nothing to hold it.
    expect(suspects[0].suspicions.map((s) => s.id)).toContain('short R6')
    expect(suspects.flatMap((s) => s.designators)).not.toContain('R13')
    expect(noneProbability).toBeLessThan(0.5)
  })

  it('does not name a part that was found sound, and shows one wrong value of a part as one suspect, never surely', () => {
    const bench = benchFor(plover, 54, [{ kind: 'value', designator: 'C7', value: '3.3 nF' }])
    const found = diagnose({ product: plover, measurements: bench.sweeps(three), checks: 0 })
    const aboutC7 = found.suspects.filter((s) => s.suspicions[0].designators[0] === 'C7')
    expect(aboutC7).toHaveLength(1)
    expect(aboutC7[0].words).toMatch(/3\.3 nF instead of 33 nF/)
    expect(found.words).toMatch(/\(> 99 %\)/)
    const open = benchFor(plover, 41, [{ kind: 'open', designator: 'R2' }]).sweeps(three)
    const all = diagnose({ product: plover, measurements: open, checks: 0 }).suspects[0].designators
    expect(all).toContain('C2')
    const after = diagnose({ product: plover, measurements: open, soundParts: ['C2'], checks: 0 })
    for (const { designators, suspicions, words } of after.suspects) {
      expect(designators).not.toContain('C2')
      expect(suspicions.flatMap((s) => s.designators)).not.toContain('C2')
      expect(words).not.toMatch(/\bC2\b/)
    }
  })

  it('has nothing to say of nothing', () => {
    expect(() => diagnose({ product: plover, measurements: [] })).toThrow(/nothing to diagnose from/)
  })

  it('leaves the errors of a wrong drawing out when there is a reference board', () => {
    // Every board hangs on a longer cable than the drawing says: the twin is wrong, the reference is not.
    const built = structuredClone(plover)
    for (const e of built.circuit.elements) if (e.designator === 'C101' && 'value' in e) e.value = '15 nF'
    const curveOf = (seed: number, setting: string, faults: Parameters<typeof benchFor>[2]) =>
      simulateCurve({ product: built, board: drawBoard({ product: built, seed, faults }), setting })
    const reference = {
      settings: three.map((setting) => {
        const curve = curveOf(900, setting, [])
        return { setting, runs: 3, polarity: 1 as const, curve, repeatabilityDb: [], gainAt1kHzDb: 0 }
      }),
    }
    const measurements = three.map((s) =>
      measured(s, curveOf(61, s, [{ kind: 'value', designator: 'R8', value: 47e3 }])),
    )
    const bare = diagnose({ product: plover, measurements, checks: 0 })
    expect(bare.noneProbability).toBeGreaterThan(0.9)
    const beside = diagnose({ product: plover, measurements, reference, checks: 0 })
    expect(beside.suspects[0].suspicions[0].designators).toEqual(['R8'])
    expect(beside.suspects[0].probability).toBeGreaterThan(0.8)
  })

  it('works for a circuit without op-amps, without a supply and without a board', () => {
    const product = textbook('inductor-scoop')
    const bench = benchFor(product, 71, [{ kind: 'open', designator: 'L1' }])
    const found = diagnose({ product, measurements: bench.sweeps(three) })
    expect(found.suspects[0].suspicions.flatMap((s) => s.designators)).toContain('L1')
    expect(found.suspects[0].places).toEqual([])
    expect(found.nextChecks.every((c) => c.kind !== 'voltage' && c.kind !== 'supply-current')).toBe(true)
  })
})
