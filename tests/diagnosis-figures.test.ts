// The figures of the diagnosis in small: some 200 boards with fixed seeds over all circuits, against floors that leave room for
// chance. `npm run bench:diagnosis` measures them in full.
import { beforeAll, describe, expect, it } from 'vitest'
import { type FaultRecord, loadProducts, studyFaults, studyHealthy, studyOutside } from './perf/diagnosis-study.mjs'

const seed = 11

describe('the diagnosis of drawn boards', () => {
  const products = loadProducts()
  let records: FaultRecord[] = []
  beforeAll(() => {
    records = products.flatMap(
      (product) => studyFaults({ product, boards: product.id === 'plover' ? 80 : 30, seed }).records,
    )
  }, 400_000)
  const share = (test: (record: FaultRecord) => boolean) => records.filter(test).length / records.length

  it('covers the demo and three textbook circuits at least', () => {
    expect(products.length).toBeGreaterThanOrEqual(4)
    expect(records.length).toBeGreaterThanOrEqual(180)
  })

  it('has the true fault in the first group, and in the first three', () => {
    expect(share((r) => r.group === 0)).toBeGreaterThan(0.92)
    expect(share((r) => r.group >= 0 && r.group < 3)).toBeGreaterThan(0.95)
  })

  it('names the part after three checks at most', () => {
    expect(share((r) => r.named?.key === r.truth)).toBeGreaterThan(0.92)
    expect(records.every((r) => r.made <= 3)).toBe(true)
  })

  it('is right where it is sure', () => {
    const sure = records.filter((r) => (r.topBlame?.probability ?? 0) >= 0.9)
    expect(sure.length).toBeGreaterThan(50)
    expect(sure.filter((r) => r.topBlame?.key === r.truth).length / sure.length).toBeGreaterThan(0.92)
  })

  it('never calls a fault of the rig one of the board for sure', () => {
    for (const { kind, topBlame, id } of records)
      if (kind === 'rig-pin' && (topBlame?.probability ?? 0) > 0.9) expect(topBlame?.key, id).toMatch(/^rig-pin/)
  })

  it('does not pretend to know a fault that is not in the dictionary', () => {
    const outside = products
      .filter((p) => p.id === 'plover' || p.id === 'inductor-scoop')
      .flatMap((product) => studyOutside({ product, boards: 25, seed }).records)
    expect(outside.filter((r) => r.none >= 0.5 || r.blame < 0.5).length / outside.length).toBeGreaterThan(0.65)
  })

  it('lets healthy boards pass by their shape', () => {
    const healthy = products.map((product) => studyHealthy({ product, boards: 40, seed }))
    const failed = healthy.reduce((sum, h) => sum + h.shape, 0)
    // 200 boards at 0.4 %: five or more would be met once in some thousand times.
    expect(failed).toBeLessThan(5)
  })
})
