import { describe, expect, test } from 'vitest'
import { Circuit } from '../../../packages/core/src/model/circuit.ts'
import plover from '../../../shared/products/plover.json' with { type: 'json' }
import { evidenceBody, nodesOf } from '../src/diagnosis/evidence-body.ts'

const formOf = (fields: Record<string, string>): FormData => {
  const form = new FormData()
  for (const [name, value] of Object.entries(fields)) form.set(name, value)
  return form
}

describe('what was measured by hand', () => {
  test('milliampere and volt become ampere and volt; empty fields are left out', () => {
    const form = formOf({ milliampere: '0.52', 'volts half': '4.4', 'volts vcc': '', otherNode: '', otherVolts: '3' })
    expect(evidenceBody(form)).toEqual({ supplyCurrentA: 0.00052, nodeVoltagesV: { half: 4.4 } })
    expect(evidenceBody(formOf({ milliampere: ' ', 'part C7': '' }))).toEqual({})
    // Nothing flows: that is a reading, and not an empty field.
    expect(evidenceBody(formOf({ milliampere: '0' }))).toEqual({ supplyCurrentA: 0 })
  })

  test('another node, and parts measured by themselves', () => {
    const form = formOf({ otherNode: 'bass-wiper', otherVolts: '-0.2', 'part C7': 'faulty', 'part C8': 'sound' })
    expect(evidenceBody(form)).toEqual({
      nodeVoltagesV: { 'bass-wiper': -0.2 },
      soundParts: ['C8'],
      faultyParts: ['C7'],
    })
  })

  test('nodes are listed with the parts that meet there, without ground and without the rig', () => {
    const nodes = nodesOf(Circuit.parse(plover.circuit))
    expect(nodes.find(({ node }) => node === 'bass-wiper')?.parts.sort()).toEqual(['C7', 'C8', 'P1', 'R9'])
    expect(nodes.some(({ node }) => node === '0')).toBe(false)
    expect(nodes.flatMap(({ parts }) => parts)).not.toContain('R101')
  })
})
