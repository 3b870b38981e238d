import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

// Sources are tested through the `source` export condition, so no stale build can pass; the end-to-end tests use the built output.
export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  resolve: { conditions: ['source', 'node', 'module'] },
  ssr: { resolve: { conditions: ['source', 'node', 'module'] } },
  test: {
    include: ['packages/*/test/**/*.test.{ts,tsx}', 'apps/*/test/**/*.test.{ts,tsx}', 'tests/**/*.test.ts'],
    setupFiles: ['tests/terminal-environment.ts'],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
  },
})
