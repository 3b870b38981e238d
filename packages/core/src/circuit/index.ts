// Entry point `@boardwright/core/circuit`: pure, but kept apart from the first bundle because of the unit library.
export * from './dimension.ts'
export * from './quantity.ts'
