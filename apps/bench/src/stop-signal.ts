import { BoardwrightError } from '@boardwright/core'

/**
 * Does work that Ctrl-C stops in order: the rig falls silent, its programs end, nothing is stored.
 * Errors: stopped; those of the work.
 */
export async function withStopSignal<T>(work: (signal: AbortSignal) => Promise<T>): Promise<T> {
  const controller = new AbortController()
  const stop = () => controller.abort(new BoardwrightError('stopped', 'It was stopped; nothing is stored.'))
  const names = ['SIGINT', 'SIGTERM'] as const
  for (const name of names) process.once(name, stop)
  try {
    return await work(controller.signal)
  } finally {
    for (const name of names) process.off(name, stop)
  }
}
