import { defineConfig } from 'tsup'

// Dependencies stay outside the bundle, so that a command loads only what it uses (Ink only for `open`).
export default defineConfig({
  entry: {
    main: 'src/main.ts',
    'batch-worker': 'src/batch-worker.ts',
    'simulated-rig-worker': 'src/simulated-rig-worker.ts',
    'diagnosis-worker': 'src/diagnosis-worker.ts',
  },
  format: ['esm'],
  target: 'node20',
  clean: true,
  sourcemap: true,
  splitting: true,
  dts: false,
})
