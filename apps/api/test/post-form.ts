import { Problem } from '@boardwright/core/contract'
import type { FastifyInstance } from 'fastify'

/** Parts of a form by name; as a list when a name stands there twice. */
export type Parts = Record<string, string | Buffer | { bytes: Buffer; fileName: string }> | [string, string | Buffer][]

/** Sends a form as a browser does: the platform's own FormData writes the bytes. */
export async function postForm(app: FastifyInstance, parts: Parts) {
  const form = new FormData()
  for (const [name, value] of Array.isArray(parts) ? parts : Object.entries(parts)) {
    if (typeof value === 'string') form.append(name, value)
    else if (Buffer.isBuffer(value)) form.append(name, new Blob([new Uint8Array(value)]), `${name}.wav`)
    else form.append(name, new Blob([new Uint8Array(value.bytes)]), value.fileName)
  }
  const request = new Request('http://localhost/', { method: 'POST', body: form })
  const reply = await app.inject({
    method: 'POST',
    url: '/api/test-runs',
    headers: { 'content-type': request.headers.get('content-type') ?? '' },
    payload: Buffer.from(await request.arrayBuffer()),
  })
  return { reply, problem: () => Problem.parse(reply.json()) }
}
