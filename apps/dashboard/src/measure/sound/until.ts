import { soundTrouble } from './sound-trouble.ts'

/** How often a condition is looked at, ms: often enough for a strip that shows a level. */
const stepMs = 50

/**
 * Waits for a condition; the signal's reason, or being late, rejects.
 * Errors: rig-failed with the sentence `late`.
 */
export async function until(options: {
  isDone: () => boolean
  withinMs: number
  late: string
  signal: AbortSignal
}): Promise<void> {
  const { signal } = options
  const endMs = performance.now() + options.withinMs
  while (!options.isDone()) {
    if (performance.now() > endMs) throw soundTrouble('rig-failed', options.late)
    await pause(signal)
  }
  signal.throwIfAborted()
}

/** One step, cut short by the signal. */
async function pause(signal: AbortSignal): Promise<void> {
  signal.throwIfAborted()
  let wake = () => {}
  await new Promise<void>((resolve) => {
    const timer = setTimeout(resolve, stepMs)
    wake = () => {
      clearTimeout(timer)
      resolve()
    }
    signal.addEventListener('abort', wake)
  })
  signal.removeEventListener('abort', wake)
  signal.throwIfAborted()
}
