// The store of one workshop file: SQLite, Node only.
export { type OpenStoreOptions, openStore } from './open-store.ts'
