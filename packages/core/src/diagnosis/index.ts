// The diagnosis entry point: pure, safe in a browser.
export { hypothesesOf } from './hypotheses.ts'
