#!/usr/bin/env node
// The `boardwright` command. Committed as it stands, so that npm can link it before anything is built.
import { existsSync } from 'node:fs'

const built = new URL('../dist/main.js', import.meta.url)
if (!existsSync(built)) {
  console.error('boardwright is not built yet: run "npm run build" in the project folder, then try again.')
  process.exit(2)
}
process.env.NODE_ENV ??= 'production' // Ink's development build is slow and keeps every frame
await import(built.href)
