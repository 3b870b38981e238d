import { expect, test } from 'vitest'
import { leadBend } from '../../src/build/lead-bend.ts'
import { movePlacement } from '../../src/build/move-placement.ts'
import { placingSteps } from '../../src/build/placing-steps.ts'
import { usualSteps } from '../../src/build/usual-steps.ts'
import { Part } from '../../src/model/part.ts'
import { PartsListEntry } from '../../src/model/parts-list.ts'
import { Placement } from '../../src/model/placement.ts'
import { placingOrders, WorkStep } from '../../src/model/procedure.ts'
import { plover } from '../circuit/read-product.ts'

const product = plover
const { board } = product
const partsList = product.partsList!
const known = new Map<string, Part>([
  ['U', Part.parse({ number: 'U', kind: 'op-amp', value: 'dual op-amp', staticSensitive: true })],
  ['B', Part.parse({ number: 'B', kind: 'circuit-board' })],
])
const steps = (order: (typeof placingOrders)[number], list = partsList, parts = known) =>
  placingSteps({ partsList: list, board, parts, order })
const centreMm = { x: board!.widthMm / 2, y: board!.heightMm / 2 }
const distance = (designator: string) => {
  const { xMm, yMm } = board!.placements.find((one) => one.designator === designator)!
  return Math.hypot(xMm - centreMm.x, yMm - centreMm.y)
}

test.each(placingOrders)('%s: every listed place once, each step of one part', (order) => {
  const made = steps(order)
  const places = made.flatMap(({ designators }) => designators)
  expect(new Set(places).size).toBe(places.length)
  expect([...places].sort()).toEqual(partsList.map(({ designator }) => designator).sort())
  const partAt = new Map(partsList.map(({ designator, part }) => [designator, part]))
  for (const step of made) {
    expect(WorkStep.parse(step)).toEqual(step)
    expect(new Set(step.designators.map((place) => partAt.get(place)))).toEqual(new Set([step.part]))
  }
  expect(new Set(made.map(({ key }) => key)).size).toBe(made.length)
  // Within a group from the board's centre outwards.
  for (const name of new Set(made.map(({ group }) => group))) {
    const group = made.filter((step) => step.group === name)
    const placed = group.filter(({ designators }) => board!.placements.some((one) => one.designator === designators[0]))
    const distances = placed.map(({ designators }) => distance(designators[0]!))
    expect(distances).toEqual([...distances].sort((a, b) => a - b))
    for (const { designators } of placed) {
      const own = designators.map(distance)
      expect(own).toEqual([...own].sort((a, b) => a - b))
    }
  }
})

test('inside-out: the amplifier, then the capacitors, then the resistors; the controls last', () => {
  const groups = [...new Set(steps('inside-out').map(({ group }) => group))]
  expect(groups.slice(0, 5)).toEqual([
    'solder side',
    'amplifier',
    'capacitors',
    'resistors and diodes',
    'controls and connectors',
  ])
  expect([...new Set(steps('own').map(({ group }) => group))].slice(0, 6)).toEqual([
    ...['solder side', 'resistors', 'amplifier', 'capacitors', 'electrolytics', 'controls'],
  ])
  const lowest = steps('lowest-first').flatMap(({ designators }) => designators)
  expect(lowest.indexOf('R1')).toBeLessThan(lowest.indexOf('U1'))
  expect(lowest.indexOf('U1')).toBeLessThan(lowest.indexOf('C1'))
  expect(lowest.indexOf('C1')).toBeLessThan(lowest.indexOf('P1'))
})

test('cautions stand where they belong; the bare board is no step; what is not placed comes last', () => {
  const list = [
    PartsListEntry.parse({ designator: 'U1', part: 'U' }),
    PartsListEntry.parse({ designator: 'PCB1', part: 'B', extra: true }),
    PartsListEntry.parse({ designator: 'J9', part: 'J', extra: true }),
    PartsListEntry.parse({ designator: 'R1', part: 'R' }),
  ]
  const made = steps('inside-out', list)
  expect(made.map(({ title }) => title)).toEqual(['U1: dual op-amp', 'R1: R', 'J9: J'])
  expect(made[0]!.cautions).toEqual([
    expect.stringMatching(/^Hot iron/),
    expect.stringMatching(/one way round/),
    expect.stringMatching(/static/),
  ])
  expect(made[1]!.cautions).toEqual([])
  expect(usualSteps.find(({ kind }) => kind === 'trim')!.cautions[0]).toMatch(/eye protection/)
  expect(usualSteps.map((step) => WorkStep.parse(step))).toEqual(usualSteps)
})

test('without a board the parts list gives the order', () => {
  const made = placingSteps({ partsList: partsList.slice(0, 3), board: undefined, parts: new Map(), order: 'own' })
  expect(made.flatMap(({ designators }) => designators)).toEqual(partsList.slice(0, 3).map((one) => one.designator))
})

test('leads are bent to the distance of the pads', () => {
  const at = (designator: string) => board!.placements.find((one) => one.designator === designator)!
  // 25.42 to 35.58 mm on the board: four tenths of an inch.
  expect(leadBend({ placement: at('R1') })).toEqual({ pitchMm: 10.16, words: 'bend the leads to 10.16 mm' })
  expect(leadBend({ placement: at('C3'), leadPitchMm: 5 })).toEqual({
    pitchMm: 5.08,
    words: 'leads at 5.08 mm, as they come',
  })
  expect(leadBend({ placement: at('C1'), leadPitchMm: 5 })?.words).toBe('form the leads from 5 mm to 3.5 mm')
  expect(leadBend({ placement: at('U1') })).toBeUndefined()
  expect(leadBend({ placement: at('C6') })).toBeUndefined()
})

test('a part that is moved and turned takes its pads along', () => {
  const before = Placement.parse({
    ...{ designator: 'R1', xMm: 10, yMm: 10, body: 'axial' },
    pads: [
      { pin: '1', node: 'a', xMm: 5, yMm: 10 },
      { pin: '2', node: 'b', xMm: 15, yMm: 12 },
    ],
  })
  const moved = movePlacement(before, { ...before, xMm: 20, yMm: 20, rotationDeg: 90 })
  expect(moved.pads.map(({ xMm, yMm }) => [xMm, yMm])).toEqual([
    [20, 15],
    [18, 25],
  ])
  // Turned over: left and right change.
  const turnedOver = movePlacement(before, { ...before, side: 'bottom' })
  expect(turnedOver.pads.map(({ xMm, yMm }) => [xMm, yMm])).toEqual([
    [15, 10],
    [5, 12],
  ])
})
