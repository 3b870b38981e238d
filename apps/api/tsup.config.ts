import { defineConfig } from 'tsup'

export default defineConfig({
  entry: { index: 'src/index.ts' },
  format: ['esm'],
  target: 'node20',
  clean: true,
  sourcemap: true,
  dts: { compilerOptions: { ignoreDeprecations: '6.0' } },
})
