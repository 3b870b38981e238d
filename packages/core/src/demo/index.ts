// The demo workshop: invented maker, invented boards, real work.
export { demoFaultsOf, demoLooseContactOf, demoSeed, demoSerialToTest } from './demo-boards.ts'
export { type DemoWorkshop, type DemoWorkshopOptions, makeDemoWorkshop } from './demo-workshop.ts'
export { offerDemoUnit } from './offer-demo-unit.ts'
