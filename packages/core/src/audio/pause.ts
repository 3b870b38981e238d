import { setTimeout as delay } from 'node:timers/promises'

/** Waits; an aborted signal ends it at once, and the promise is rejected with the signal's reason. */
export async function pause(durationMs: number, signal?: AbortSignal): Promise<void> {
  signal?.throwIfAborted()
  try {
    await delay(durationMs, undefined, { signal })
  } catch (error) {
    signal?.throwIfAborted()
    throw error
  }
}
