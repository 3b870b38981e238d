// Papers for people: labels. Node only.
export { labelFacts, makeUnitLabel, type UnitLabel, type UnitLabelFacts } from './unit-label.ts'
