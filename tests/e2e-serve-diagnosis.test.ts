import type { ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runCommand, startCommand } from './command-run.ts'

// The built server over a real socket: suspects are worked out beside it, and it answers others meanwhile.
const folder = mkdtempSync(join(tmpdir(), 'boardwright-serve-diagnosis-'))
const env = { BOARDWRIGHT_FILE: join(folder, 'shop.boardwright') }
let server: ChildProcess
let url: string
const failed = 'PLV-0005'

const lastRunOf = async (serial: string): Promise<string> =>
  (await (await fetch(`${url}/api/units/${serial}`)).json()).unit.lastRunId

beforeAll(async () => {
  expect(await runCommand(['demo'], { cwd: folder, env })).toMatchObject({ code: 0 })
  server = startCommand(['serve', '--port', '0', '--json'], { cwd: folder, env })
  let said = ''
  for await (const chunk of server.stdout ?? []) {
    said += chunk
    if (said.includes('}')) break
  }
  url = JSON.parse(said).url
})
afterAll(async () => {
  const closed = once(server, 'exit')
  server.kill('SIGTERM')
  await closed
  rmSync(folder, { recursive: true, force: true })
})

describe('serve', () => {
  it('answers other requests while the suspects of a run are worked out', async () => {
    const run = await lastRunOf(failed)
    const done: string[] = []
    const diagnosis = fetch(`${url}/api/test-runs/${run}/diagnosis`).then(async (reply) => {
      done.push('diagnosis')
      return reply.json()
    })
    // Each question waits for the answer to the one before: they would all wait for a server that is busy diagnosing.
    for (let k = 0; k < 5; k++) {
      expect((await fetch(`${url}/api/health`)).status).toBe(200)
      done.push('health')
    }
    const { diagnosis: made } = await diagnosis
    expect(done).toEqual(['health', 'health', 'health', 'health', 'health', 'diagnosis'])
    expect(made.diagnosis.suspects[0].designators).toContain('C7')
  })

  it('keeps what it was told, and gives the errors of the thread as its own', async () => {
    const run = await lastRunOf(failed)
    const ask = (body: object) =>
      fetch(`${url}/api/test-runs/${run}/diagnosis`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(body),
      })
    const told = await ask({ soundParts: ['C8'] })
    expect(told.status).toBe(201)
    const { diagnosis } = await told.json()
    expect(diagnosis.evidence.soundParts).toEqual(['C8'])
    for (const { designators } of diagnosis.diagnosis.suspects) expect(designators).not.toContain('C8')
    const refused = await ask({ soundParts: ['C99'] })
    expect(refused.status).toBe(422)
    expect(await refused.json()).toMatchObject({ code: 'part-unknown' })
  })
})
