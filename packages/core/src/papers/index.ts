// Papers for people: labels. Node only.
export type { UnitLabelFacts } from './label-drawing.ts'
export { labelFacts, makeUnitLabel, type UnitLabel } from './unit-label.ts'
