import { readFileSync } from 'node:fs'
import { builtinModules } from 'node:module'
import type { Plugin } from 'vite'

interface Manifest {
  name: string
  exports: Record<string, Record<string, string | null>>
}

const builtIn = new Set(builtinModules.flatMap((name) => [name, `node:${name}`]))

/**
 * Fails the build when a module of the desk reaches for Node: a built-in module, or an entry point that its package shuts
 * out of browsers (`"browser": null` in `exports`). Vite itself does not: it puts an empty module in place of both, and
 * the page breaks at the maker's.
 */
export function refuseNodeParts({ manifestPath }: { manifestPath: string }): Plugin {
  const { name, exports } = JSON.parse(readFileSync(manifestPath, 'utf8')) as Manifest
  const shutOut = Object.entries(exports)
    .filter(([, conditions]) => conditions.browser === null)
    .map(([path]) => `${name}${path.slice(1)}`)
  return {
    name: 'boardwright:refuse-node-parts',
    apply: 'build',
    enforce: 'pre',
    resolveId(source, importer) {
      if (!builtIn.has(source) && !shutOut.includes(source)) return null
      return this.error(`${source} works only in Node and cannot be part of the desk; ${importer} imports it.`)
    },
  }
}
