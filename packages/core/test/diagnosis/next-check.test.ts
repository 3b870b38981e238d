import { describe, expect, it } from 'vitest'
import { blames } from '../../../../tests/perf/diagnosis-study.mjs'
import { diagnose } from '../../src/diagnosis/diagnose.ts'
import { plover } from '../circuit/read-product.ts'
import { benchFor, textbook } from './bench.ts'

const three = ['max', 'min', 'centre']

describe('the next check', () => {
  it('is not asked for when one part is named already', () => {
    const bench = benchFor(plover, 81, [{ kind: 'value', designator: 'C9', value: '33 nF' }])
    expect(diagnose({ product: plover, measurements: bench.sweeps(three) }).nextChecks).toEqual([])
  })

  it('says in words where the probe goes, and what each suspect would show', () => {
    // In series and nothing between but the output capacitor: the sweep at the output cannot tell them apart.
    const bench = benchFor(plover, 82, [{ kind: 'series-resistance', designator: 'C11', value: 30e3 }])
    const measurements = bench.sweeps(three)
    const before = diagnose({ product: plover, measurements })
    const [check] = before.nextChecks
    expect(check.words).toMatch(/^(put the probe on|measure the direct voltage|run once more|take )/)
    expect(check.outcomes.length).toBeGreaterThan(1)
    // Never more than there is to learn.
    const entropy = blames(before).reduce((sum, { probability: p }) => (p > 0 ? sum - p * Math.log2(p) : sum), 0)
    for (const { informationBits } of before.nextChecks) expect(informationBits).toBeLessThanOrEqual(entropy + 0.1)
    const probe = before.nextChecks.find((c) => c.kind === 'probe')
    expect(probe).toBeDefined()
    const after = diagnose({
      product: plover,
      measurements,
      probes: [{ node: probe!.node!, measurement: bench.sweep(probe!.setting!, probe!.node!) }],
    })
    const share = (d: typeof before) => blames(d).find((b) => b.key === 'C11')?.probability ?? 0
    expect(share(after)).toBeGreaterThan(0.9)
    expect(share(after)).toBeGreaterThan(share(before))
  })

  it('comes to one part when a part is measured by itself', () => {
    const product = textbook('sallen-key')
    const bench = benchFor(product, 83, [{ kind: 'value', designator: 'R4', value: 22e3 }])
    const measurements = bench.sweeps(three)
    const before = diagnose({ product, measurements, checks: 0 })
    const suspected = before.suspects.flatMap((s) => s.designators)
    expect(suspected).toContain('R4')
    const sure = diagnose({ product, measurements, faultyParts: ['R4'] })
    expect(blames(sure)[0].key).toBe('R4')
    const cleared = diagnose({ product, measurements, soundParts: ['R4'] })
    const share = (d: typeof before) => blames(d).find((b) => b.key === 'R4')?.probability ?? 0
    expect(share(cleared)).toBeLessThan(share(before))
  })
})
