// Import directions, enforced. A cruise of nothing would pass, so the number of modules is asserted too.
import { cruise } from 'dependency-cruiser'
import extractTSConfig from 'dependency-cruiser/config-utl/extract-ts-config'
import config from '../../.dependency-cruiser.mjs'

const LEAST_MODULES = 60
const { output } = await cruise(
  ['packages', 'apps'],
  { ...config.options, ruleSet: { forbidden: config.forbidden }, validate: true, outputType: 'json' },
  { conditionNames: config.options.enhancedResolveOptions.conditionNames, exportsFields: ['exports'] },
  { tsConfig: extractTSConfig('tsconfig.base.json') },
)
const { summary } = JSON.parse(output)
for (const { rule, from, to } of summary.violations) console.error(`${rule.severity} ${rule.name}: ${from} -> ${to}`)
console.log(`import directions: ${summary.totalCruised} modules, ${summary.violations.length} broken`)
if (summary.totalCruised < LEAST_MODULES) {
  console.error(
    `Only ${summary.totalCruised} modules were read, at least ${LEAST_MODULES} were expected: the check itself is broken.`,
  )
  process.exit(1)
}
process.exit(summary.violations.length === 0 ? 0 : 1)
