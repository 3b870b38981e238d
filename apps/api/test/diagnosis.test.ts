import { makeSweep, type Product, RunDiagnosis } from '@boardwright/core'
import { makeSimulatedRig } from '@boardwright/core/audio'
import { AddedRework, Problem } from '@boardwright/core/contract'
import { Ajv2020 } from 'ajv/dist/2020.js'
import formats from 'ajv-formats'
import type { InjectOptions } from 'fastify'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openTestServer, type TestServer } from './test-server.ts'

// A board of the simulated rig with C7 out of the wrong bag, over the routes of what follows a failed test.

let server: TestServer
let product: Product
let runId: string
let validator: Ajv2020
beforeAll(async () => {
  server = await openTestServer()
  const { workshop } = server
  const { testPlan } = server.product
  // As quiet as the Plover's own test plan: its gain would clip the sweep of the other tests.
  const stimulus = { ...testPlan.stimulus, levelDbfs: -26 }
  product = workshop.addProduct({ ...server.product, revision: 'B', testPlan: { ...testPlan, stimulus } })
  workshop.addReference({ recordings: await record({ serial: 'REFERENCE', spread: 'none' }) })
  runId = await testBoard('PLV-0001', true)
  validator = new Ajv2020({ strict: false, allErrors: true })
  formats.default(validator)
  validator.addSchema((await server.app.inject('/api/openapi.json')).json(), 'api')
})
afterAll(() => server.close())

async function record(board: { serial: string; spread?: 'none'; isWrong?: boolean }) {
  const faults = board.isWrong ? ([{ kind: 'value', designator: 'C7', value: '3.3 nF' }] as const) : []
  const sweep = makeSweep(product.testPlan.stimulus)
  const rig = makeSimulatedRig({
    ...{ product, spread: board.spread, faultsOf: () => faults },
    ...{ speed: Number.POSITIVE_INFINITY, clip: false, boardNoise: false },
  })
  const settings = board.spread ? ['max', 'min', 'centre'] : ['max', 'min']
  const recordings = []
  for (const setting of settings) recordings.push({ setting, ...(await rig.run({ ...board, setting, sweep })) })
  return recordings
}

async function testBoard(serial: string, isWrong: boolean): Promise<string> {
  const recordings = await record({ serial, isWrong })
  return server.workshop.recordTestRun({ serial, rig: 'simulated', recordings }).run.id
}

const post = (url: string, payload: InjectOptions['payload'], headers: Record<string, string> = {}) =>
  server.app.inject({ method: 'POST', url, payload, headers })
const expectDescribed = (path: string, method: 'get' | 'post', status: number, body: unknown) => {
  const at = encodeURIComponent(path.replaceAll('/', '~1'))
  const validate = validator.compile({
    $ref: `api#/paths/${at}/${method}/responses/${status}/content/application~1json/schema`,
  })
  expect(validate(body), validator.errorsText(validate.errors)).toBe(true)
}

describe('suspects of a test run', () => {
  const path = '/api/test-runs/{id}/diagnosis'

  it('are worked out for whoever looks, and nothing is kept', async () => {
    const before = server.workshop.lastSeq()
    const reply = await server.app.inject(`/api/test-runs/${runId}/diagnosis`)
    expect(reply.statusCode).toBe(200)
    expectDescribed(path, 'get', 200, reply.json())
    const { diagnosis } = reply.json()
    expect(RunDiagnosis.parse(diagnosis)).toMatchObject({ id: null, runId })
    expect(diagnosis.diagnosis.suspects[0].designators).toContain('C7')
    expect((await server.app.inject(`/api/test-runs/${runId}/diagnosis`)).json()).toEqual({ diagnosis })
    expect(server.workshop.lastSeq()).toBe(before)
  })

  it('are kept with what was measured by hand, which counts together', async () => {
    const url = `/api/test-runs/${runId}/diagnosis`
    const reply = await post(url, { nodeVoltagesV: { half: 4.4 } })
    expect(reply.statusCode).toBe(201)
    expectDescribed(path, 'post', 201, reply.json())
    const next = (await post(url, { supplyCurrentA: 6e-4, soundParts: ['C8'] })).json()
    expect(next.diagnosis.evidence).toMatchObject({
      ...{ supplyCurrentA: 6e-4, nodeVoltagesV: { half: 4.4 }, soundParts: ['C8'] },
    })
    expect((await server.app.inject(url)).json()).toEqual(next)
    const afresh = (await post(url, { afresh: true })).json()
    expect(afresh.diagnosis.evidence).toMatchObject({ supplyCurrentA: null, nodeVoltagesV: {} })
  })

  it.each<[string, string, object, number, string]>([
    ['of an unknown run', 'none', {}, 404, 'not-found'],
    ['with a node that is not there', 'RUN', { nodeVoltagesV: { nowhere: 1 } }, 400, 'bad-argument'],
    ['with a voltage beyond all measure', 'RUN', { nodeVoltagesV: { half: 1e9 } }, 400, 'bad-request'],
    ['with a current that is a text', 'RUN', { supplyCurrentA: '1 mA' }, 400, 'bad-request'],
    ['with a part that is not there', 'RUN', { faultyParts: ['C99'] }, 422, 'part-unknown'],
  ])('%s: a problem', async (_name, id, body, status, code) => {
    const before = server.workshop.lastSeq()
    const reply = await post(`/api/test-runs/${id.replace('RUN', runId)}/diagnosis`, body)
    expect(reply.statusCode).toBe(status)
    expect(Problem.parse(reply.json())).toMatchObject({ code, status })
    expect(server.workshop.lastSeq()).toBe(before)
  })

  it('of an unknown run cannot be looked at', async () => {
    expect((await server.app.inject('/api/test-runs/none/diagnosis')).statusCode).toBe(404)
  })
})

describe('rework', () => {
  it('takes the unit back to untested, and the next test decides over the suspicion', async () => {
    const figures = async () => (await server.app.inject('/api/figures/diagnosis')).json()
    expect(await figures()).toMatchObject({ first: { cases: 0, rate: null }, waiting: 0 })
    const body = { designator: 'C7', action: 'replaced', part: '33 nF film', lot: 'green bag', note: 'was 3.3 nF' }
    const reply = await post('/api/units/plv-0001/reworks', body)
    expect(reply.statusCode).toBe(201)
    expectDescribed('/api/units/{serial}/reworks', 'post', 201, reply.json())
    const { rework, unit } = AddedRework.parse(reply.json())
    expect(rework).toMatchObject({ ...body, serial: 'PLV-0001', afterRunId: runId, station: 'desk' })
    expect(unit.state).toBe('untested')
    const detail = (await server.app.inject('/api/units/PLV-0001')).json()
    expectDescribed('/api/units/{serial}', 'get', 200, detail)
    expect(detail.reworks).toEqual([rework])
    expect(await figures()).toMatchObject({ waiting: 1 })
    await testBoard('PLV-0001', false)
    const after = await figures()
    expectDescribed('/api/figures/diagnosis', 'get', 200, after)
    // Source: Clopper-Pearson, 1 of 1 at 95 %: the lower limit is 0.025, as 0.025 = p^1.
    expect(after).toMatchObject({ first: { hits: 1, cases: 1, rate: 1, upper: 1 }, waiting: 0 })
    expect(after.first.lower).toBeCloseTo(0.025, 9)
  })

  it.each<[string, string, InjectOptions['payload'], number, string]>([
    ['of an unknown unit', 'PLV-0009', { designator: 'C7', action: 'replaced' }, 404, 'not-found'],
    ['of no unit', 'plv_1', { designator: 'C7', action: 'replaced' }, 400, 'bad-serial'],
    ['without an action', 'PLV-0001', { designator: 'C7' }, 400, 'bad-request'],
    ['that is none', 'PLV-0001', { designator: 'C7', action: 'sung to' }, 400, 'bad-request'],
    ['of a part that is not there', 'PLV-0001', { designator: 'C99', action: 'replaced' }, 422, 'part-unknown'],
    ['as a text', 'PLV-0001', 'C7 replaced', 415, 'unsupported-media-type'],
  ])('%s: a problem, and the unit stays where it is', async (_name, serial, body, status, code) => {
    const before = server.workshop.lastSeq()
    const reply = await post(`/api/units/${serial}/reworks`, body)
    expect({ status: reply.statusCode, code: reply.json().code }).toEqual({ status, code })
    expect(server.workshop.lastSeq()).toBe(before)
  })

  it('from a web page elsewhere is refused', async () => {
    const body = { designator: 'C7', action: 'replaced' }
    const reply = await post('/api/units/PLV-0001/reworks', body, { origin: 'http://elsewhere.example' })
    expect(reply.json().code).toBe('foreign-origin')
    expect(server.workshop.unit('PLV-0001').unit.state).toBe('ready')
  })
})

it('reports no bug in all of it', () => {
  expect(server.bugs).toEqual([])
})
