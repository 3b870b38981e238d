import { gzipSync } from 'node:zlib'
import type { Plugin, Rollup } from 'vite'

type Bundle = Rollup.OutputBundle

/** Names of the files that a browser fetches before anything shows: the entry, what it imports at once, their styles. */
function firstLoadFiles(bundle: Bundle): string[] {
  const files = new Set<string>()
  const visit = (name: string) => {
    const chunk = bundle[name]
    if (files.has(name) || chunk?.type !== 'chunk') return
    files.add(name)
    for (const style of chunk.viteMetadata?.importedCss ?? []) files.add(style)
    for (const next of chunk.imports) visit(next)
  }
  for (const [name, output] of Object.entries(bundle)) if (output.type === 'chunk' && output.isEntry) visit(name)
  return [...files]
}

function compressedBytes(bundle: Bundle, name: string): number {
  const output = bundle[name]
  if (output === undefined) return 0
  return gzipSync(output.type === 'chunk' ? output.code : output.source).length
}

/**
 * Fails the build when the first load is larger than `limitBytes` (gzip), or when a module of a package in `lateOnly`
 * has got into it.
 */
export function firstLoadCeiling({ limitBytes, lateOnly }: { limitBytes: number; lateOnly: string[] }): Plugin {
  return {
    name: 'boardwright:first-load-ceiling',
    apply: 'build',
    enforce: 'post',
    generateBundle(_options, bundle) {
      const files = firstLoadFiles(bundle)
      const bytes = files.reduce((sum, name) => sum + compressedBytes(bundle, name), 0)
      this.info(`first load ${(bytes / 1000).toFixed(1)} kB compressed, at most ${limitBytes / 1000} kB`)
      if (bytes > limitBytes)
        this.error(
          `The first load has grown to ${bytes} bytes compressed; ${limitBytes} are allowed. Load parts later.`,
        )
      for (const name of files) {
        const chunk = bundle[name]
        if (chunk?.type !== 'chunk') continue
        for (const late of lateOnly)
          if (chunk.moduleIds.some((id) => id.includes(`/node_modules/${late}/`)))
            this.error(`${late} has got into the first load (${name}); import it from a page that is loaded late.`)
      }
    },
  }
}
