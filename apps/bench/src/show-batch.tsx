import type { Bench } from './bench.ts'
import { BatchApp } from './screens/batch-app.tsx'
import type { BatchRecorder } from './session/batch-recorder.ts'
import { warmUp } from './session/run-test.ts'
import { showScreen } from './show-screen.ts'
import type { BatchResult } from './text/batch-words.ts'

/** Shows the batch in this terminal. @returns what was done */
export async function showBatch(bench: Bench, recorder: BatchRecorder): Promise<readonly BatchResult[]> {
  let results: readonly BatchResult[] = []
  const keep = (done: readonly BatchResult[]) => {
    results = done
  }
  await showScreen(<BatchApp bench={bench} recorder={recorder} onResults={keep} />, () => warmUp(bench))
  return results
}
