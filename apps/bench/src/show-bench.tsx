import type { Bench } from './bench.ts'
import { BenchApp } from './screens/bench-app.tsx'
import { warmUp } from './session/run-test.ts'
import { showScreen } from './show-screen.ts'

/** Shows the bench in this terminal; resolves when it is left. The terminal is restored however the program ends. */
export const showBench = (bench: Bench): Promise<void> => showScreen(<BenchApp bench={bench} />, () => warmUp(bench))
