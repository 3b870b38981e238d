// Import directions of DESIGN: apps -> workshop -> (store, audio) -> (response, circuit) -> statistics -> model; contract -> model only.
const core = '^packages/core/src'
const only = (name, from, allowed, comment) => ({
  name,
  comment,
  severity: 'error',
  from: { path: `${core}/${from}/` },
  to: { path: '^(packages|apps)/', pathNot: allowed.map((folder) => `${core}/${folder}/`) },
})

export default {
  forbidden: [
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    { name: 'resolvable', severity: 'error', from: {}, to: { couldNotResolve: true, pathNot: '^(virtual:|.*dist/)' } },
    only('model-alone', 'model', ['model'], 'The nouns know nothing but each other.'),
    only('contract-on-model', 'contract', ['contract', 'model'], 'The contract speaks of nouns only.'),
    only('statistics-on-model', 'statistics', ['statistics', 'model'], 'Statistics know no board, no rig.'),
    only(
      'response-on-model',
      'response',
      ['response', 'statistics', 'model'],
      'The measuring maths knows no circuit, no store.',
    ),
    only(
      'circuit-on-response',
      'circuit',
      ['circuit', 'response', 'statistics', 'model'],
      'The twin may use the measuring maths.',
    ),
    only(
      'diagnosis-on-circuit',
      'diagnosis',
      ['diagnosis', 'circuit', 'response', 'statistics', 'model'],
      'The diagnosis asks the twin.',
    ),
    only('build-on-model', 'build', ['build', 'statistics', 'model'], 'What a build takes, and in which order.'),
    only('store-on-model', 'store', ['store', 'workshop', 'model', 'response'], 'The store keeps nouns.'),
    only('audio-on-maths', 'audio', ['audio', 'response', 'circuit', 'model'], 'Rig drivers.'),
    only('papers-on-model', 'papers', ['papers', 'model'], 'Papers are drawn from nouns.'),
    {
      name: 'workshop-through-ports',
      comment: 'The verbs reach store and audio through the interfaces in workshop/ports.ts.',
      severity: 'error',
      from: { path: `${core}/workshop/` },
      to: { path: [`${core}/(store|audio|papers)/`, '^apps/'] },
    },
    {
      name: 'pure-parts-are-browser-safe',
      comment:
        'model, statistics, response, circuit, diagnosis, build and contract run in a browser: nothing of Node in them.',
      severity: 'error',
      from: { path: `${core}/(model|statistics|response|circuit|diagnosis|contract|build)/|${core}/index\\.ts` },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'database-in-the-store-only',
      severity: 'error',
      from: { path: '^(packages|apps)/', pathNot: [`${core}/store/`, '/test/'] },
      to: { path: 'better-sqlite3' },
    },
    {
      name: 'desk-uses-pure-core',
      severity: 'error',
      from: { path: '^apps/dashboard/src' },
      to: { path: [`${core}/(store|workshop|audio|papers)/`, '^apps/(api|bench)/'] },
    },
    {
      name: 'no-product-code-imports-tests',
      severity: 'error',
      from: { path: '^(packages|apps)/[^/]+/(src|bin)/' },
      to: { path: ['/test/', '^tests/'] },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { path: ['(^|/)dist/', 'node_modules/.cache'] },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.base.json' },
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['source', 'import', 'node', 'default'] },
  },
}
