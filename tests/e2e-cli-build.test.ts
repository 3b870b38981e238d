import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { runCommand } from './command-run.ts'

// Real processes over the built output: from a table of parts to traced units.
const folder = mkdtempSync(join(tmpdir(), 'boardwright-build-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))
const run = (...args: string[]) =>
  runCommand(args, { cwd: folder, env: { BOARDWRIGHT_FILE: join(folder, 'shop.boardwright') } })
const json = async (...args: string[]) => {
  const finished = await run(...args, '--json')
  return { ...finished, data: JSON.parse(finished.stdout) }
}

describe('help', () => {
  it.each([
    [['stock']],
    [['stock', 'receive']],
    [['stock', 'import']],
    [['stock', 'part']],
    [['stock', 'trace']],
    [['build', 'plan']],
    [['build', 'step']],
    [['product', 'parts']],
    [['product', 'placements']],
    [['unit', 'trace']],
  ])('%j --help explains itself within 80 columns', async (words) => {
    const { code, stdout } = await run(...words, '--help')
    expect(code).toBe(0)
    expect(stdout).toContain('Usage: boardwright')
    for (const line of stdout.split('\n')) expect([...line].length, line).toBeLessThanOrEqual(80)
  })
})

describe('from a table to a traced unit', () => {
  const designators: string[] = []

  it('reads parts and lots; a refused line is named, and goes in when mended', async () => {
    const plan = await json('build', 'plan', '--units', '2')
    // No workshop yet: one sentence.
    expect(plan).toMatchObject({ code: 2, data: { error: { code: 'not-found' } } })
    await run('product', 'add', join(import.meta.dirname, '../shared/products/plover.json'))
    const { data: product } = await json('product', 'show')
    const parts = [...new Set<string>(product.partsList.map((entry: { part: string }) => entry.part))]
    designators.push(...product.partsList.map((entry: { designator: string }) => entry.designator))
    const rows = parts.map((part, i) => `${part};other;${i === 3 ? 'many' : 40};BAG-${i + 1}`)
    writeFileSync(join(folder, 'drawers.csv'), ['Our number;Kind;Qty;Lot', ...rows].join('\r\n'))
    const args = ['stock', 'import', 'drawers.csv', '--column', 'part=our number', '--refused', 'mend.csv']
    const { code, data } = await json(...args)
    expect(code).toBe(1)
    expect(data).toMatchObject({
      taken: parts.length - 1,
      refused: [{ line: 5, column: 'Qty', reason: expect.stringMatching(/many/) }],
    })
    expect(readFileSync(join(folder, 'mend.csv'), 'utf8')).toBe(`Our number;Kind;Qty;Lot\n${rows[3]}\n`)
    const short = await run('build', 'plan', '--units', '2')
    expect(short.code).toBe(1)
    expect(short.stdout).toMatch(new RegExp(`Short: ${parts[3]}, \\d+ of \\d+ missing`))
    const refused = await run('build', 'start', '--units', '2')
    expect(refused).toMatchObject({ code: 2, stderr: expect.stringMatching(/too little of .*stock-short/) })
    writeFileSync(join(folder, 'mend.csv'), readFileSync(join(folder, 'mend.csv'), 'utf8').replace('many', '40'))
    expect(await run('stock', 'import', 'mend.csv', '--column', 'part=our number')).toMatchObject({ code: 0 })
    const list = await run('stock', 'list', '--lots')
    expect(list.stdout.trim().split('\n')).toHaveLength(parts.length)
  })

  it('plans, starts, and works a build', async () => {
    const plan = await json('build', 'plan', '--units', '2')
    expect(plan).toMatchObject({ code: 0, data: { ready: true, serials: ['PLV-0001', 'PLV-0002'] } })
    const steps = await run('build', 'plan', '--units', '2', '--steps')
    expect(steps.stdout).toMatch(/place-u1 .*U1[\s\S]*Caution:[\s\S]*eye protection/)
    const { data } = await json('build', 'start', '--units', '2', '--note', 'spring')
    expect(data.build).toMatchObject({ id: 1, note: 'spring', serials: ['PLV-0001', 'PLV-0002'] })
    expect((await run('build', 'list')).stdout).toMatch(/^1 +2 in work +plover A +2 units/)
    const wrong = ['build', 'step', '1', '--step', 'trim', '--unit', 'PLV-0002', '--wrong', 'pad lifted']
    expect((await run(...wrong)).code).toBe(0)
    const board: string[] = data.build.steps.map((step: { key: string }) => step.key).slice(0, -3)
    // Several programs at once on one file, as bench and desk are.
    for (let i = 0; i < board.length; i += 4)
      await Promise.all(
        board.slice(i, i + 4).map((step) => run('build', 'step', '1', '--step', step, '--minutes', '2')),
      )
    const shown = await run('build', 'show', '1')
    expect(shown.stdout).toMatch(/PLV-0001 +untested .*next: rig +\d+ min/)
    expect(shown.stdout).toMatch(/PLV-0002, trim, .*: pad lifted/)
    expect(await run('build', 'step', '1', '--step', 'sing')).toMatchObject({
      code: 2,
      stderr: expect.stringMatching(/no step "sing"/),
    })
    expect(await run('build', 'show', '9')).toMatchObject({ code: 2, stderr: expect.stringMatching(/no build 9/) })
    expect(await run('build', 'show', 'nine')).toMatchObject({ code: 2 })
  }, 180_000)

  it('traces both ways, and a rework from a lot changes both', async () => {
    const { data: trace } = await json('unit', 'trace', 'plv-0001')
    expect(trace.places.map((place: { designator: string }) => place.designator).sort()).toEqual(
      [...designators].sort(),
    )
    const { lotId } = trace.places.find((place: { designator: string }) => place.designator === 'C7')
    const { data: before } = await json('stock', 'trace', lotId)
    expect(before.units.map((unit: { serial: string }) => unit.serial)).toEqual(['PLV-0001', 'PLV-0002'])
    await run('stock', 'part', 'FB100-33N', '--kind', 'capacitor', '--value', '33 nF', '--tolerance-percent', '5')
    await run(
      'stock',
      'receive',
      'FB100-33N',
      '--pieces',
      '5',
      '--lot',
      'SPARE',
      '--measured',
      'capacitance=33.1 nF',
      '--price',
      '0.19 EUR',
    )
    for (const part of ['C7', 'C8'])
      expect(
        await run('unit', 'rework', 'PLV-0001', '--part', part, '--action', 'replaced', '--lot', 'SPARE'),
      ).toMatchObject({ code: 0 })
    const { stdout } = await run('stock', 'trace', lotId)
    expect(stdout).toMatch(/PLV-0001 +untested +taken out: C7 C8/)
    expect(stdout).toMatch(/Still in the workshop: PLV-0002$/m)
    expect((await run('unit', 'trace', 'PLV-0001', '--csv')).stdout).toMatch(/^PLV-0001,C7,FB100-33N,SPARE,1,1,\r$/m)
    expect(await run('stock', 'trace', 'SPARE', '--csv', 'recall.csv')).toMatchObject({ code: 0, stdout: '' })
    expect(readFileSync(join(folder, 'recall.csv'), 'utf8').split('\r\n')[1]).toBe(
      'SPARE,FB100-33N,PLV-0001,untested,plover,A,C7 C8,,no',
    )
    expect(await run('stock', 'trace', 'SPARE', '--csv', '--json')).toMatchObject({ code: 2 })
    expect(await run('stock', 'count', 'SPARE', '--pieces', '2', '--reason', 'one lost')).toMatchObject({
      ...{ code: 0, stdout: expect.stringMatching(/Lot SPARE: 2 of[\s\S]*It was 3 before/) },
    })
    expect(await run('stock', 'decide', 'SPARE', '--state', 'held', '--reason', 'odd print')).toMatchObject({ code: 0 })
    expect(
      await run('unit', 'rework', 'PLV-0002', '--part', 'C7', '--action', 'replaced', '--lot', 'SPARE'),
    ).toMatchObject({
      ...{ code: 2, stderr: expect.stringMatching(/is held.*lot-not-usable/) },
    })
    expect(await run('check')).toMatchObject({ code: 0 })
  }, 180_000)

  it('inspects a lot by its plan', async () => {
    await run(
      'stock',
      'part',
      'AMP',
      '--kind',
      'op-amp',
      '--inspect',
      'sample',
      '--level',
      'S-2',
      '--limit-percent',
      '4',
    )
    expect((await run('stock', 'receive', 'AMP', '--pieces', '40', '--lot', 'AMPS')).stdout).toMatch(
      /awaits inspection/,
    )
    // Lot of 40, level S-2: letter B or as its arrow points; at 4 % three pieces and none may be bad.
    expect((await run('stock', 'inspect', 'AMPS')).stdout).toMatch(/0 of 3 tried, 0 bad; accepted with 0 bad/)
    expect(await run('stock', 'inspect', 'AMPS', '--good')).toMatchObject({ code: 0 })
    expect(await run('stock', 'inspect', 'AMPS', '--bad', '--note', 'hisses')).toMatchObject({
      code: 1,
      stdout: expect.stringMatching(/held/),
    })
  })

  it('reads a parts list into a new revision', async () => {
    writeFileSync(
      join(folder, 'list.csv'),
      `mpn,where\n${designators
        .slice(0, 28)
        .map((place) => `X-1,${place}`)
        .join('\n')}\n`,
    )
    const looked = await run('product', 'parts', 'list.csv', '--column', 'designator=where')
    expect(looked).toMatchObject({
      code: 0,
      stdout: expect.stringMatching(/28 lines taken, 0 refused[\s\S]*Nothing is kept: --save/),
    })
    expect(await run('product', 'parts', 'list.csv', '--column', 'designator=where', '--save', 'B')).toMatchObject({
      ...{ code: 0, stdout: expect.stringMatching(/Plover revision B has it/) },
    })
    expect(await run('product', 'parts', 'list.csv')).toMatchObject({
      code: 2,
      stderr: expect.stringMatching(/column for the designator.*"where"/),
    })
    writeFileSync(join(folder, 'places.csv'), 'ref,x,y\nR1,30,34\nR99,1,1\n')
    expect(await run('product', 'placements', 'places.csv', '--save', 'C')).toMatchObject({
      ...{ code: 1, stdout: expect.stringMatching(/line 3, column "ref": .*R99[\s\S]*1 line was refused/) },
    })
  })
})
