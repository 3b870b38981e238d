// Entry point `@boardwright/core/diagnosis`: pure, safe in a browser.
export { type DiagnoseOptions, diagnose, type ProbeMeasurement, prepareProduct } from './diagnose.ts'
export type { RigSpread } from './evidence-case.ts'
export { healthyMisfit } from './healthy-misfit.ts'
export { hypothesesOf, type KindWeights } from './hypotheses.ts'
export type { Hypothesis } from './hypothesis.ts'
export { nodeWords } from './node-words.ts'
export { kindWeights } from './priors.ts'
export { type SimulatedReadingOptions, simulateCurve } from './simulate-reading.ts'
