import { makeSweep, type Product } from '@boardwright/core'
import { makeSimulatedRig, type RigDrift } from '@boardwright/core/audio'
import { gaugeStudyRoutes, Problem, rigCheckRoutes } from '@boardwright/core/contract'
import type { Workshop } from '@boardwright/core/workshop'
import { Ajv2020 } from 'ajv/dist/2020.js'
import formats from 'ajv-formats'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openTestServer, type TestServer } from './test-server.ts'

// A simulated rig with its reference board, over the routes of rig check and gauge study.

let server: TestServer
let workshop: Workshop
let product: Product
let validator: Ajv2020
beforeAll(async () => {
  server = await openTestServer()
  workshop = server.workshop
  const { testPlan } = server.product
  // As quiet as the Plover's own test plan: its gain would clip the sweep of the other tests.
  const stimulus = { ...testPlan.stimulus, levelDbfs: -26 }
  product = workshop.addProduct({ ...server.product, revision: 'B', testPlan: { ...testPlan, stimulus } })
  workshop.addReference({ recordings: await record('REFERENCE', { settings: ['max', 'min', 'centre'] }) })
  validator = new Ajv2020({ strict: false, allErrors: true })
  formats.default(validator)
  validator.addSchema((await server.app.inject('/api/openapi.json')).json(), 'api')
})
afterAll(() => server.close())

async function record(serial: string, options: { settings?: string[]; drift?: RigDrift; setUp?: string } = {}) {
  const { settings = product.testPlan.settings, drift, setUp = '' } = options
  const sweep = makeSweep(product.testPlan.stimulus)
  const rig = makeSimulatedRig({
    ...{ product, drift, contactDb: 0.02, seed: setUp.length + 3 },
    ...{ speed: Number.POSITIVE_INFINITY, clip: false, boardNoise: false },
  })
  const recordings = []
  for (const setting of settings) recordings.push({ setting, ...(await rig.run({ serial, setting, sweep, setUp })) })
  return recordings
}

const get = async (url: string, status = 200) => {
  const reply = await server.app.inject(url)
  expect(reply.statusCode, reply.body).toBe(status)
  return reply.json()
}
const post = (url: string, payload: object) => server.app.inject({ method: 'POST', url, payload })
const expectDescribed = (path: string, method: 'get' | 'post', status: number, body: unknown) => {
  const at = encodeURIComponent(path.replaceAll('/', '~1'))
  const schema = `api#/paths/${at}/${method}/responses/${status}/content/application~1json/schema`
  const validate = validator.compile({ $ref: schema })
  expect(validate(body), validator.errorsText(validate.errors)).toBe(true)
}

describe('rig checks', () => {
  it('nothing is known of a rig before it was used', async () => {
    expect(await get('/api/rig-checks')).toEqual({ rigs: [], checks: [], retest: [] })
  })

  it('gives standing, drift, checks and the units to test again; a check with its curves', async () => {
    workshop.rigChecks.record({ rig: 'simulated', recordings: await record('REFERENCE') })
    workshop.recordTestRun({ serial: 'PLV-0001', rig: 'simulated', recordings: await record('PLV-0001') })
    const recordings = await record('REFERENCE', { drift: { levelDb: 0.5 } })
    const { check } = workshop.rigChecks.record({ rig: 'simulated', recordings })
    const body = await get('/api/rig-checks')
    expectDescribed('/api/rig-checks', 'get', 200, body)
    const { rigs, checks, retest } = rigCheckRoutes.rigChecks.reply.parse(body)
    expect(rigs.map(({ rig, status }) => [rig, status.state])).toEqual([['simulated', 'drifted']])
    expect(rigs[0].chart.level.valuesDb).toHaveLength(2)
    expect(checks.map(({ outcome }) => outcome)).toEqual(['drifted', 'good'])
    expect(checks[0]).not.toHaveProperty('settings')
    expect(retest).toMatchObject([{ serial: 'PLV-0001', action: 'take-back', checkId: check.id }])
    const one = await get(`/api/rig-checks/${check.id}`)
    expectDescribed('/api/rig-checks/{id}', 'get', 200, one)
    expect(one).toEqual({ check })
    expect(Problem.parse(await get('/api/rig-checks/99', 404)).code).toBe('not-found')
    expect(Problem.parse(await get('/api/rig-checks/x', 400)).code).toBe('bad-request')
  })

  it('takes a unit back from the shelf, only one that is on the list', async () => {
    const wrong = await post('/api/rig-checks/take-back', { serials: ['PLV-0009'] })
    expect([wrong.statusCode, Problem.parse(wrong.json()).code]).toEqual([404, 'not-found'])
    const reply = await post('/api/rig-checks/take-back', { serials: ['plv-0001'] })
    expect(reply.statusCode).toBe(201)
    expectDescribed('/api/rig-checks/take-back', 'post', 201, reply.json())
    expect(reply.json().units).toMatchObject([{ serial: 'PLV-0001', state: 'untested' }])
    expect((await get('/api/rig-checks')).retest).toMatchObject([{ serial: 'PLV-0001', action: 'test-again' }])
    expect((await post('/api/rig-checks/take-back', { serials: [] })).statusCode).toBe(400)
  })
})

describe('gauge studies', () => {
  it('shows a study under way, its result, and takes it over', async () => {
    workshop.rigChecks.record({ rig: 'simulated', recordings: await record('REFERENCE') })
    const serials = ['PLV-0001', 'PLV-0002']
    workshop.registerUnit({ serial: 'PLV-0002' })
    const { gaugeStudies } = workshop
    const { study } = gaugeStudies.start({ rig: 'simulated', serials, repeats: 2, setUps: 2 })
    const begun = await get(`/api/gauge-studies/${study.id}`)
    expectDescribed('/api/gauge-studies/{id}', 'get', 200, begun)
    expect(begun).toMatchObject({ study: { state: 'running' }, next: { position: 1 }, result: null })
    const early = await post(`/api/gauge-studies/${study.id}/acceptance`, {})
    expect([early.statusCode, Problem.parse(early.json()).code]).toEqual([409, 'gauge-study-open'])
    for (let { next } = gaugeStudies.show(study.id); next; { next } = gaugeStudies.show(study.id)) {
      const recordings = await record(next.serial, { setUp: `${'x'.repeat(next.setUp)}${next.repeat}` })
      gaugeStudies.addReading({ studyId: study.id, position: next.position, rig: 'simulated', recordings })
    }
    const done = await get(`/api/gauge-studies/${study.id}`)
    expectDescribed('/api/gauge-studies/{id}', 'get', 200, done)
    expect(done.next).toBeNull()
    expect(done.result.words[0]).toMatch(/^The rig tells these boards apart in \d+ class/)
    const taken = await post(`/api/gauge-studies/${study.id}/acceptance`, {})
    expect(taken.statusCode).toBe(201)
    expectDescribed('/api/gauge-studies/{id}/acceptance', 'post', 201, taken.json())
    const list = await get('/api/gauge-studies')
    expectDescribed('/api/gauge-studies', 'get', 200, list)
    const { studies, inForce, planUncertaintyDb } = gaugeStudyRoutes.gaugeStudies.reply.parse(list)
    expect(studies.map(({ id, state }) => [id, state])).toEqual([[study.id, 'complete']])
    expect(inForce.find(({ rig }) => rig === 'simulated')?.uncertainty).toEqual(taken.json().uncertainty)
    expect(inForce.find(({ rig }) => rig === 'files')?.uncertainty).toBeNull()
    expect(planUncertaintyDb).toBe(0.03)
    expect(Problem.parse(await get('/api/gauge-studies/99', 404)).code).toBe('not-found')
    expect(server.bugs).toEqual([])
  })
})
