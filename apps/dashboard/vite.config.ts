import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defineConfig } from 'vite'
import { firstLoadCeiling } from './build/first-load-ceiling.ts'
import { refuseNodeParts } from './build/refuse-node-parts.ts'

export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  plugins: [
    react(),
    refuseNodeParts({ manifestPath: fileURLToPath(new URL('../../packages/core/package.json', import.meta.url)) }),
    // What a phone must fetch before the list stands: script and style, compressed. Charts and upload come when opened.
    firstLoadCeiling({ limitBytes: 130_000, lateOnly: ['uplot'] }),
  ],
  resolve: {
    // Core is built from its source, so the desk is never made from a stale copy.
    conditions: ['source', 'browser', 'module', 'development|production'],
  },
  build: {
    target: 'es2022',
    sourcemap: true,
    // Everything is a file of its own: the content security policy allows no data: scripts or styles.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  server: { host: '127.0.0.1', proxy: { '/api': 'http://127.0.0.1:4270' } },
})
